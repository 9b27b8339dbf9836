PRAGMA application_id = 1465011779;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
CREATE TABLE entry (
    job     TEXT    NOT NULL REFERENCES job (name),
    seq     INTEGER NOT NULL CHECK (seq >= 1),
    at_ms   INTEGER NOT NULL CHECK (at_ms >= 0),
    kind    TEXT    NOT NULL CHECK (kind <> ''),
    version INTEGER NOT NULL CHECK (version >= 1),             -- of the fields of its kind
    cause   INTEGER NOT NULL CHECK (cause >= 0 AND cause < seq),  -- the input that it follows from; 0: none
    data    TEXT    NOT NULL CHECK (json_valid(data)),
    prev    TEXT    NOT NULL CHECK (length(prev) = 64),
    hash    TEXT    NOT NULL CHECK (length(hash) = 64),
    PRIMARY KEY (job, seq)
) STRICT, WITHOUT ROWID;
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',1,1796457600000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"9128c9e102faabadb07d8698d12205119803fc2a203fcde6b7c4c4a4eb1180ad"},"procedure_file":"shaft-packs.yaml","procedure_id":"shaft-packs","procedure_path":{"sealed":"88d6a691128d01df7ad8b173ae5e91b505c0f98e268880c9b2811086268d04f2"},"procedure_revision":"1","procedure_sha256":"a556921ae7ce706899e59dc4f59d9b544f9ce798c1b4b2a5548a0694bf3e96d9","procedure_yaml":"# Values are invented for the practice gearbox of Alder Row: not for use on a vehicle.\nprocedure:\n  id: shaft-packs\n  title: Shim packs of the practice gearbox\n  revision: 1\n  source: Invented for the practice gearbox of Alder Row training workshop\n  machine: Practice gearbox on the bench\n  hazard_scheme: ansi\n  values: invented\npreliminary:\n  conditions: [The gearbox is clamped to the bench.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: dial, name: dial gauge}\n    - {id: drag-wrench, name: drag wrench}\n  supplies: []\n  spares: []\n  safety: []\nchapters:\n  - chapter: Shaft\n    steps:\n      - id: end-play\n        check: Read off the end play of the shaft.\n        limits: 0.05 to 0.10 mm\n        tools: [dial]\n        pack:\n          for: shaft\n          fitted: 0.50, 0.25 mm\n          shims: 0.10 x 2, 0.15, 0.20 mm\n          kind: thin\n          ratio: -1\n          gauge: 0.01 mm\n          shim gauge: 0.005 mm\n        if outside:\n          title: Change the pack of the shaft.\n          minutes: 20\n          then: again\n          steps:\n            - {id: pack-in, do: Put the proposed pack in., shim for: [shaft]}\n      - id: backlash\n        check: Read off the backlash of the pinion.\n        limits: 5 to 8 thou\n        tools: [dial]\n        pack: {for: pinion, fitted: 0.020 x 2 in, shims: \"0.005, 0.010 in\", ratio: 0.6, gauge: 0.0005 in}\n        if outside:\n          title: Change the pack of the pinion.\n          then: again\n          steps:\n            - {id: pinion-in, do: Put the proposed pack in., shim for: [pinion]}\n      - id: trial\n        check: Read off the play of the bearing with the trial pack.\n        limits: 0.00 to 0.60 mm\n        tools: [dial]\n        pack: {for: bearing, fitted: 1.00 mm, shims: \"0.05 x 2, 0.10, 0.25, 0.50 mm\", ratio: 1, wanted: -0.05 to -0.03 mm, gauge: 0.005 mm}\n      - {id: bearing-in, do: Put the proposed pack of the bearing in., shim for: [bearing]}\n      - id: drag\n        check: Read off the drag of the bearing.\n        limits: 1.0 to 1.6 N·m\n        tools: [drag-wrench]\n        pack: {for: bearing, fitted: 1.00 mm, shims: \"0.05 x 2, 0.10, 0.25, 0.50 mm\", ratio: -20, gauge: 0.1 N·m, shim gauge: 0.002 mm}\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Shim packs of the practice gearbox","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','4f111e002c18676da6e4388ad3452d0f8b7ee28e081d00433d7d11edff775172');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',2,1796457600000,'operators_named',1,1,'{"names":{"sealed":"36df29e6506e3cea49d5ac1f122551cd5926c6673c03abaa1ac833fa63eacf78"}}','4f111e002c18676da6e4388ad3452d0f8b7ee28e081d00433d7d11edff775172','be9a68d55387781db9268861e85dd21b573a1468b269392ef7b03d5deef194d0');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',3,1796457600000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','be9a68d55387781db9268861e85dd21b573a1468b269392ef7b03d5deef194d0','bc028e5fb8b50d21ee1010b8294bc0a259ee9f895502184c1c1d1989cc1b5eb6');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',4,1796457620100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457620100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796457619700,"words":""}','bc028e5fb8b50d21ee1010b8294bc0a259ee9f895502184c1c1d1989cc1b5eb6','792a2e411444bf6dcc5b04bf49ee014a952365821ff19b6efb1d2accb12a889d');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',5,1796457620100,'prepared',1,4,'{"missing":[],"place":"conditions:1","repeated":false}','792a2e411444bf6dcc5b04bf49ee014a952365821ff19b6efb1d2accb12a889d','13fcd7283a935502262a9358c31dcb7a9e8c07b2151fda7d9c9da3613937e95f');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',6,1796457620100,'arrived',1,4,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','13fcd7283a935502262a9358c31dcb7a9e8c07b2151fda7d9c9da3613937e95f','55db73eee068d6509b5693edf605f45709a23bbddc5380ce7c8820eec9de9559');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',7,1796457622600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457622600,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796457622200,"words":""}','55db73eee068d6509b5693edf605f45709a23bbddc5380ce7c8820eec9de9559','beadbffcc4152b5bf4ca0e39a1e690bc80c9330a0c37bbbfbb7a8319c54a0988');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',8,1796457622600,'prepared',1,7,'{"missing":[],"place":"persons:1","repeated":false}','beadbffcc4152b5bf4ca0e39a1e690bc80c9330a0c37bbbfbb7a8319c54a0988','6e0a8ab0e147ab14b57032cf3ccaebed8ff6a74693f9adf0a6c4a24f0d857c40');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',9,1796457622600,'arrived',1,7,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','6e0a8ab0e147ab14b57032cf3ccaebed8ff6a74693f9adf0a6c4a24f0d857c40','425ff2d5eb14dfdb66e7d93c8b7cba4005029f6653ee69516be9fa297d25f839');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',10,1796457626300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457626300,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796457625900,"words":""}','425ff2d5eb14dfdb66e7d93c8b7cba4005029f6653ee69516be9fa297d25f839','a032594ecba37fb4060cf41369f76da240a172ae9aefabcf09ad6847ca00c60d');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',11,1796457626300,'prepared',1,10,'{"missing":[],"place":"equipment:1","repeated":false}','a032594ecba37fb4060cf41369f76da240a172ae9aefabcf09ad6847ca00c60d','a3d4d7f2b28f6ba7d5df617174e023e38af28078575179c0d4e93197ac44f073');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',12,1796457626300,'arrived',1,10,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end-play"}','a3d4d7f2b28f6ba7d5df617174e023e38af28078575179c0d4e93197ac44f073','16c867ca174d31a15c04137925582e23b5ef61651eb7fccaa7dec2c5b2e94480');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',13,1796457639600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457639600,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796457639200,"words":""}','16c867ca174d31a15c04137925582e23b5ef61651eb7fccaa7dec2c5b2e94480','f02e83686ef2ec8d667d574643b92d60770367faa1d7f42f7d536be4043d60b2');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',14,1796457639600,'refused',1,13,'{"why":"asks"}','f02e83686ef2ec8d667d574643b92d60770367faa1d7f42f7d536be4043d60b2','299999cff7900efb44923d3ad427c82bfba48257c8bc00195ab8634ad71b5f13');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',15,1796457643700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457643700,"hazard":null,"intent":"pack_found","number":"0.5","source":"voice","started_ms":1796457642100,"words":""}','299999cff7900efb44923d3ad427c82bfba48257c8bc00195ab8634ad71b5f13','3b91da462096aa803da6533a0c28173744ccd4e8ae6c7f761f98794065e1d05f');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',16,1796457643700,'asked',1,15,'{"at_ms":1796457643700,"needs_reason":false,"question":{"pack":"shaft","shim":"0.5","shims":["0.5"],"step":"end-play","unit":"mm","what":"fitted_shim"},"reason":""}','3b91da462096aa803da6533a0c28173744ccd4e8ae6c7f761f98794065e1d05f','de388b5a0618ab417bb9b5509a03e4a6994c43b59c3e720ef952491feec7f035');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',17,1796457648200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457648200,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796457647800,"words":""}','de388b5a0618ab417bb9b5509a03e4a6994c43b59c3e720ef952491feec7f035','f12166a554be587df890a4823353125a2dce9794792d998fc9fca910c7e1a6d1');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',18,1796457648200,'granted',1,17,'{"what":"fitted_shim"}','f12166a554be587df890a4823353125a2dce9794792d998fc9fca910c7e1a6d1','6c62283df2467c54da19ce2c03b402b6884c81beb59dd617c5146d937021b815');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',19,1796457648200,'pack_found',1,17,'{"pack":"shaft","shims":["0.5"],"step":"end-play","unit":"mm"}','6c62283df2467c54da19ce2c03b402b6884c81beb59dd617c5146d937021b815','00d7878fab29cbf07d5f35baa5652a78bc416491a02c36a2630437df16f504ca');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',20,1796457653900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457653900,"hazard":null,"intent":"pack_found","number":"0.35","source":"voice","started_ms":1796457651900,"words":""}','00d7878fab29cbf07d5f35baa5652a78bc416491a02c36a2630437df16f504ca','6e230b2799640e303abed0105a66f4646a8958c94c773fdf786c171acab0a514');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',21,1796457653900,'asked',1,20,'{"at_ms":1796457653900,"needs_reason":false,"question":{"pack":"shaft","shim":"0.35","shims":["0.5","0.35"],"step":"end-play","unit":"mm","what":"fitted_shim"},"reason":""}','6e230b2799640e303abed0105a66f4646a8958c94c773fdf786c171acab0a514','5210597a8dbc06592949ee3f7967413c46a106c4df7331532177dc7722bfa667');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',22,1796457658000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457658000,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796457657600,"words":""}','5210597a8dbc06592949ee3f7967413c46a106c4df7331532177dc7722bfa667','41328dd5c3c48a0ac3f48295d1f08919d9293f0ab5370897c7c6be9e64270aaf');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',23,1796457658000,'granted',1,22,'{"what":"fitted_shim"}','41328dd5c3c48a0ac3f48295d1f08919d9293f0ab5370897c7c6be9e64270aaf','7501b96f77725acdd29ebdd24663230cdfb57b7c0a27109c6cb5218086cb7464');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',24,1796457658000,'pack_found',1,22,'{"pack":"shaft","shims":["0.5","0.35"],"step":"end-play","unit":"mm"}','7501b96f77725acdd29ebdd24663230cdfb57b7c0a27109c6cb5218086cb7464','8ca19ca83697d7566a24ae4080b2bfa4a386b61f348188c31c1b17e7b314463c');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',25,1796457662100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457662100,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1796457660900,"words":""}','8ca19ca83697d7566a24ae4080b2bfa4a386b61f348188c31c1b17e7b314463c','9d6ea1b9007c50910288698e6b3e7d8d90f1a328dfe57064ae956795ad51ea70');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',26,1796457662100,'asked',1,25,'{"at_ms":1796457662100,"needs_reason":false,"question":{"heard_ms":1796457658000,"what":"take_back"},"reason":""}','9d6ea1b9007c50910288698e6b3e7d8d90f1a328dfe57064ae956795ad51ea70','f067a3bfd6ddba7eb0307cfccbb7fe62f304fb354caf3558d8f6884547a34a2e');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',27,1796457668600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457668600,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796457668200,"words":""}','f067a3bfd6ddba7eb0307cfccbb7fe62f304fb354caf3558d8f6884547a34a2e','cff2eebfe47dc35f5e9702ed192062c5297e4f99617d88e6b915bbe3993a2fd6');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',28,1796457668600,'granted',1,27,'{"what":"take_back"}','cff2eebfe47dc35f5e9702ed192062c5297e4f99617d88e6b915bbe3993a2fd6','1073be8142169027a22639a15d5d4116e5bc249d1b50798f0e8f0acef1432b04');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',29,1796457668600,'taken_back',1,27,'{"by":{"sealed":"84f59f688def0eed63eb7a38b18604ecdb8e690ab752b181582665a9ee3c8502"},"confirmed_by":{"sealed":"1a06c5955ba517114763477386000fe2847f4b71365eb398db22da8c498656c7"},"heard_ms":1796457658000,"place":"end-play"}','1073be8142169027a22639a15d5d4116e5bc249d1b50798f0e8f0acef1432b04','169551dbbcab6c88032b3455156153f81bccd3d6ecc0ed37e3ffb75764e916de');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',30,1796457668600,'pack_found_as_before',1,27,'{"found":{"shims":["0.5"],"step":"end-play","unit":"mm"},"pack":"shaft","put_in":null}','169551dbbcab6c88032b3455156153f81bccd3d6ecc0ed37e3ffb75764e916de','4d4ea13f72baee3e0d050121d501d19a678ec00b626486c667426e2e284521e7');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',31,1796457668600,'arrived',1,27,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end-play"}','4d4ea13f72baee3e0d050121d501d19a678ec00b626486c667426e2e284521e7','5bf2f7fce16c96ab33f2368117552c2df1ca2f43c1c7f789e7dd05f8e9761d70');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',32,1796457683900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457683900,"hazard":null,"intent":"pack_found","number":"0.3","source":"voice","started_ms":1796457682300,"words":""}','5bf2f7fce16c96ab33f2368117552c2df1ca2f43c1c7f789e7dd05f8e9761d70','faafcc0a8be7bf7b8c56efab49d36866a7882066931a6900a610a66465157d47');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',33,1796457683900,'asked',1,32,'{"at_ms":1796457683900,"needs_reason":false,"question":{"pack":"shaft","shim":"0.3","shims":["0.5","0.3"],"step":"end-play","unit":"mm","what":"fitted_shim"},"reason":""}','faafcc0a8be7bf7b8c56efab49d36866a7882066931a6900a610a66465157d47','a0faca7dc559d42d39ada30f137abdc3feb157e48e5bdafd388848a6a8aa8d1a');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',34,1796457687600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457687600,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796457687200,"words":""}','a0faca7dc559d42d39ada30f137abdc3feb157e48e5bdafd388848a6a8aa8d1a','d6d506e54fa216f50b7bae0d309e9d1807b46a3560b16b9472e6fff2980ae9d7');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',35,1796457687600,'granted',1,34,'{"what":"fitted_shim"}','d6d506e54fa216f50b7bae0d309e9d1807b46a3560b16b9472e6fff2980ae9d7','5212f06e88bc62efd27383dc0245d2ec01c6036c579d2a09ca1f18869d39dbf3');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',36,1796457687600,'pack_found',1,34,'{"pack":"shaft","shims":["0.5","0.3"],"step":"end-play","unit":"mm"}','5212f06e88bc62efd27383dc0245d2ec01c6036c579d2a09ca1f18869d39dbf3','8f26d08b29f2a05cae728e40913aa5b03abadf03c4cf15bfb11a9f39e4032380');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',37,1796457690500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796457690500,"hazard":null,"intent":"pause","number":null,"source":"voice","started_ms":1796457690100,"words":""}','8f26d08b29f2a05cae728e40913aa5b03abadf03c4cf15bfb11a9f39e4032380','63cb24a0b2e0b0fcef401f62e9a0520c4ea1fbcba0c035e1e06ca354dbeab586');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',38,1796457690500,'paused',1,37,'{}','63cb24a0b2e0b0fcef401f62e9a0520c4ea1fbcba0c035e1e06ca354dbeab586','5ca802cc06bd6ccac83e3fd15e5984a5fb7d2abe1a82d02c100e410fd6b97c4d');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',39,1796544000000,'resumed',1,0,'{"operator":"","program":"0.1.0","start":null,"tools":null}','5ca802cc06bd6ccac83e3fd15e5984a5fb7d2abe1a82d02c100e410fd6b97c4d','13dd8b54a83d217ba18294e28494bc23bf0f7868662b0c8384c01f63fdf70c06');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',40,1796544006100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796544006100,"hazard":null,"intent":"carry_on","number":null,"source":"voice","started_ms":1796544005300,"words":""}','13dd8b54a83d217ba18294e28494bc23bf0f7868662b0c8384c01f63fdf70c06','d660744c44d516329bc30d6c2216089753b139a92fbb0a0a60860c0c4a2dc6be');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',41,1796544006100,'carried_on',1,40,'{}','d660744c44d516329bc30d6c2216089753b139a92fbb0a0a60860c0c4a2dc6be','02461d966424ec9684078efb62f3f0ff6cbe666c4c6f11cb5cc3a68b40971608');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',42,1796544020200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796544020200,"hazard":null,"intent":"reading","number":"0.2","source":"voice","started_ms":1796544019000,"words":""}','02461d966424ec9684078efb62f3f0ff6cbe666c4c6f11cb5cc3a68b40971608','84732fd9f66f3594eae2e432a8f164596e1ce7aeab22dd65f014922d2f524f5e');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',43,1796544020200,'asked',1,42,'{"at_ms":1796544020200,"needs_reason":false,"question":{"branch":"end-play:outside","reading":{"unit":"mm","value":"0.2"},"step":"end-play","what":"branch","yes":null},"reason":""}','84732fd9f66f3594eae2e432a8f164596e1ce7aeab22dd65f014922d2f524f5e','081103cfeb5d5bbeba7f27fce3770ff333fc763fdcc4b2d79d45baf554c03619');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',44,1796544031100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796544031100,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796544030700,"words":""}','081103cfeb5d5bbeba7f27fce3770ff333fc763fdcc4b2d79d45baf554c03619','fb5223f85eda427a62cfd3e0019b55f380ef2a2b4812e8851a40e0e031f467bf');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',45,1796544031100,'granted',1,44,'{"what":"branch"}','fb5223f85eda427a62cfd3e0019b55f380ef2a2b4812e8851a40e0e031f467bf','c8449a6a199c3b52063b7e531a950f012ac8d48968e9be98990f3557b8811494');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',46,1796544031100,'reading',1,44,'{"in_limits":false,"limits":{"high":"0.10","low":"0.05"},"repeated":false,"step":"end-play","unit":"mm","value":"0.2"}','c8449a6a199c3b52063b7e531a950f012ac8d48968e9be98990f3557b8811494','ab0bd8ecf3d81fdc3a0ba370607cc176e71853a1ffab9b10136916522db1b0e4');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',47,1796544031100,'pack_worked_out',1,44,'{"assumed":false,"counted":false,"expected":{"unit":"mm","value":"0.05"},"near":true,"new":["0.15"],"off":{"unit":"mm","value":"0"},"out":[],"pack":"shaft","present":["0.5","0.3"],"reading":{"unit":"mm","value":"0.2"},"shims":["0.5","0.3","0.15"],"step":"end-play","uncertainty":{"unit":"mm","value":"0.012"},"unit":"mm","wanted":{"high":"0.10","low":"0.05"},"way":"change"}','ab0bd8ecf3d81fdc3a0ba370607cc176e71853a1ffab9b10136916522db1b0e4','046ec7c41a6ce1914a6ba1b2d6f04d7d4de3ca17d9a34e6d466192de4a4fd47d');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',48,1796544031100,'branch_taken',1,44,'{"branch":"end-play:outside","round":1,"steps":["pack-in"]}','046ec7c41a6ce1914a6ba1b2d6f04d7d4de3ca17d9a34e6d466192de4a4fd47d','85ba7c11637fb554a19f4f67bfb42880357e9e63f5da77c07b1c6724ad4c9933');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',49,1796544031100,'step_done',1,44,'{"repeated":false,"step":"end-play"}','85ba7c11637fb554a19f4f67bfb42880357e9e63f5da77c07b1c6724ad4c9933','69469e5abe0c28ef73e3c3d3d226b28b6eefe61ce52b64ae1a11ee03e6f43a99');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',50,1796544031100,'arrived',1,44,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"pack-in"}','69469e5abe0c28ef73e3c3d3d226b28b6eefe61ce52b64ae1a11ee03e6f43a99','b7d8ccc15014f52e94c6ff6780772affbef5670e2eff158bb83a5515fc5f2da6');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',51,1796544043600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796544043600,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796544043200,"words":""}','b7d8ccc15014f52e94c6ff6780772affbef5670e2eff158bb83a5515fc5f2da6','368cb0f7f0b97e1fd271bee63b9cbde54b69f1088091456f9f0a44e126b342ab');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',52,1796544043600,'pack_put_in',1,51,'{"pack":"shaft","shims":["0.5","0.3","0.15"],"step":"pack-in","unit":"mm"}','368cb0f7f0b97e1fd271bee63b9cbde54b69f1088091456f9f0a44e126b342ab','33b18e082b762e44bb4f6a05f53b445dfb0e0737e820d27e03fa5a673b9f94c1');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',53,1796544043600,'step_done',1,51,'{"repeated":false,"step":"pack-in"}','33b18e082b762e44bb4f6a05f53b445dfb0e0737e820d27e03fa5a673b9f94c1','f501665a8b661dd883cb19b6c8d0154283a67242e3f15d453136f4b96ddcb294');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',54,1796544043600,'branch_ended',1,51,'{"branch":"end-play:outside","how":"again","step":"end-play"}','f501665a8b661dd883cb19b6c8d0154283a67242e3f15d453136f4b96ddcb294','1c5e8303ebe20a444cfc4a3670ad5c07de8dbdcc43581685dce20272b8982b21');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',55,1796544043600,'arrived',1,51,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end-play"}','1c5e8303ebe20a444cfc4a3670ad5c07de8dbdcc43581685dce20272b8982b21','ccb273e42a99cbe3558da62b9cee3a6c04b371c80ca7b8278f9686042dda48d8');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',56,1796544059300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796544059300,"hazard":null,"intent":"reading","number":"0.07","source":"voice","started_ms":1796544057700,"words":""}','ccb273e42a99cbe3558da62b9cee3a6c04b371c80ca7b8278f9686042dda48d8','392c2550cae44aafaab722819e417604793963b80d2eb054774eb10ed600c911');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',57,1796544059300,'reading',1,56,'{"in_limits":true,"limits":{"high":"0.10","low":"0.05"},"repeated":true,"step":"end-play","unit":"mm","value":"0.07"}','392c2550cae44aafaab722819e417604793963b80d2eb054774eb10ed600c911','2c1b515d993d736bf52b1fdea334ca669d0d190a937bc97d88c102775829ff59');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',58,1796544059300,'pack_worked_out',1,56,'{"assumed":false,"counted":true,"expected":{"unit":"mm","value":"0.07"},"near":false,"new":[],"off":{"unit":"mm","value":"0"},"out":[],"pack":"shaft","present":["0.5","0.3","0.15"],"reading":{"unit":"mm","value":"0.07"},"shims":["0.5","0.3","0.15"],"step":"end-play","uncertainty":{"unit":"mm","value":"0.01"},"unit":"mm","wanted":{"high":"0.10","low":"0.05"},"way":"keep"}','2c1b515d993d736bf52b1fdea334ca669d0d190a937bc97d88c102775829ff59','3ed5fd7bbfdad197a23e93c4b2c15a6529d936aa8f516fcfad8dc8edba810080');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',59,1796544059300,'step_done',1,56,'{"repeated":false,"step":"end-play"}','3ed5fd7bbfdad197a23e93c4b2c15a6529d936aa8f516fcfad8dc8edba810080','66dbe30377fab0d2e5bbc7c93aa3ee0a1761cc6a660e1fc15884092674afbe4a');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',60,1796544059300,'arrived',1,56,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"backlash"}','66dbe30377fab0d2e5bbc7c93aa3ee0a1761cc6a660e1fc15884092674afbe4a','ca7a17e1c31815cbe92f553ea0a33fc0bf67abcf7b8c7a7856f032ee8201b005');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',61,1796544073800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796544073800,"hazard":null,"intent":"pause","number":null,"source":"voice","started_ms":1796544073400,"words":""}','ca7a17e1c31815cbe92f553ea0a33fc0bf67abcf7b8c7a7856f032ee8201b005','c57ffb4f144a702f6ba2eb101c98fb6cee314b3a38fe5a4dd7b9d752b249d3b8');
INSERT INTO "entry" VALUES('bay1-2026-12-05-1',62,1796544073800,'paused',1,61,'{}','c57ffb4f144a702f6ba2eb101c98fb6cee314b3a38fe5a4dd7b9d752b249d3b8','de7901268cdd7257a130fbccb595a864a0d7dddc5c34be8706628b89208b31e5');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-12-05-1',62,'de7901268cdd7257a130fbccb595a864a0d7dddc5c34be8706628b89208b31e5');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-12-05-1','bay1',1);
CREATE TABLE lease (
    job      TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    token    TEXT    NOT NULL CHECK (token <> ''),
    bay      TEXT    NOT NULL CHECK (bay <> ''),
    host     TEXT    NOT NULL,
    pid      INTEGER NOT NULL,
    until_ms INTEGER NOT NULL  -- since 1970-01-01 UTC, on the clock of the job
) STRICT, WITHOUT ROWID
;
CREATE TABLE personal (
    job   TEXT    NOT NULL REFERENCES job (name),
    seq   INTEGER NOT NULL CHECK (seq >= 1),
    key   TEXT    NOT NULL CHECK (key <> ''),
    salt  TEXT    NOT NULL CHECK (length(salt) = 32),
    value TEXT    NOT NULL CHECK (json_valid(value)),
    PRIMARY KEY (job, seq, key)
) STRICT, WITHOUT ROWID;
INSERT INTO "personal" VALUES('bay1-2026-12-05-1',1,'operator','cc77d7431171242a0e6ae3e95a1d1a72','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-05-1',1,'procedure_path','3d2f2f309af2705c5b2407da035ee1f4','"/tmp/practice-bay-s6w2d6ul/shaft-packs.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-12-05-1',2,'names','4174109e005eff1a02c046ce200795ba','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-05-1',29,'by','3ac6c35ce442cb25e67bf087649e0b29','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-05-1',29,'confirmed_by','9ba3e1a782bad665285298eb754b2236','"A. Reed"');
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'a journal entry cannot be changed'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'a journal entry cannot be removed'); END;
CREATE TRIGGER entry_in_order BEFORE INSERT ON entry
WHEN NEW.seq <> 1 + (SELECT coalesce(max(seq), 0) FROM entry WHERE job = NEW.job)
  OR NEW.prev <> coalesce((SELECT hash FROM entry WHERE job = NEW.job ORDER BY seq DESC LIMIT 1), printf('%064d', 0))
BEGIN SELECT RAISE(ABORT, 'a journal entry must follow the last one of its job'); END;
CREATE TRIGGER job_no_update BEFORE UPDATE ON job
BEGIN SELECT RAISE(ABORT, 'a job cannot be renamed'); END;
CREATE TRIGGER job_no_delete BEFORE DELETE ON job
BEGIN SELECT RAISE(ABORT, 'a job cannot be removed'); END;
CREATE TRIGGER job_once BEFORE INSERT ON job
WHEN NEW.number <> 1 + (SELECT coalesce(max(number), 0) FROM job)
  OR EXISTS (SELECT 1 FROM job WHERE name = NEW.name)
BEGIN SELECT RAISE(ABORT, 'a job of this name or number is there already'); END;
CREATE TRIGGER personal_no_update BEFORE UPDATE ON personal
BEGIN SELECT RAISE(ABORT, 'what was said cannot be changed'); END;
CREATE TRIGGER personal_delete BEFORE DELETE ON personal
WHEN NOT EXISTS (SELECT 1 FROM entry WHERE job = OLD.job AND kind = 'forgotten')
BEGIN SELECT RAISE(ABORT, 'what was said can only be removed by forgetting the job'); END;
CREATE TRIGGER personal_once BEFORE INSERT ON personal
WHEN EXISTS (SELECT 1 FROM personal WHERE job = NEW.job AND seq = NEW.seq AND key = NEW.key)
  OR NOT EXISTS (SELECT 1 FROM entry WHERE job = NEW.job AND seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'what was said is written once, with its entry'); END;
CREATE TRIGGER head_forward BEFORE UPDATE ON head
WHEN NEW.job <> OLD.job OR NEW.seq <= OLD.seq
  OR NOT EXISTS (SELECT 1 FROM entry WHERE job = NEW.job AND seq = NEW.seq AND hash = NEW.hash)
BEGIN SELECT RAISE(ABORT, 'the end of a job only moves on, to an entry that is there'); END;
CREATE TRIGGER head_no_delete BEFORE DELETE ON head
BEGIN SELECT RAISE(ABORT, 'the end of a job cannot be removed'); END;
CREATE TRIGGER head_once BEFORE INSERT ON head
WHEN EXISTS (SELECT 1 FROM head WHERE job = NEW.job)
  OR NOT EXISTS (SELECT 1 FROM entry WHERE job = NEW.job AND seq = NEW.seq AND hash = NEW.hash)
BEGIN SELECT RAISE(ABORT, 'the end of a job is written once, with its first entries'); END;
COMMIT;
