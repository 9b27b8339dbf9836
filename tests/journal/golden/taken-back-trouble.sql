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
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',1,1795248000000,'opened',1,0,'{"approved":"yes","approved_by":{"sealed":"ab25f71b70c5990ac575991a2feb2d58847c19f5df6d2f907e4bb1991b436dd5"},"approved_on":"2026-11-26","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":"","procedure_file":"gearbox-side-cover.yaml","procedure_id":"gearbox-side-cover","procedure_path":{"sealed":"47d587d21aea9b2c84aa1695278719435e2862b53eeffcc38b4e69c9dba96cfb"},"procedure_revision":"2","procedure_sha256":"73ddc66b76368bf01001e3b83de1991a043c5f5b09fcdc8af32f2d359a03ea45","procedure_yaml":"# All values in this file are invented for practice. Do not use it on a vehicle or on any real gearbox.\n# For real work use the procedure of the maker, and follow the rules of your workplace.\n# yaml-language-server: $schema=procedure.schema.json\nprocedure:\n  id: gearbox-side-cover\n  title: Side cover of the practice gearbox\n  revision: 2\n  source: Invented for the practice gearboxes of the Alder Row training workshop\n  machine: Practice gearbox on a bench\n  hazard_scheme: ansi\n  values: invented\n  book_time: 30 min\n\npreliminary:\n  conditions:\n    - The gearbox is empty and clamped to the bench.\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: small-wrench, name: small torque wrench}\n    - {id: crowfoot, name: thirteen millimetre crowfoot}\n    - {id: angle-gauge, name: angle gauge}\n  supplies:\n    - {id: rags, name: clean rags, quantity: 2}\n  spares:\n    - {id: gasket, name: cover gasket, quantity: 1, single_use: true}\n    - {id: end-bolts, name: end bolts, quantity: 2, single_use: true}\n  safety:\n    - caution: The edges of the cover are sharp.\n      consequence: They can cut your hands.\n      avoid: Wear gloves until the cover is in its place.\n\ngroups:\n  - id: cover\n    name: cover bolts\n    size: eight millimetre\n    thread: M8\n    class: 8.8\n    bolts: 1-12\n    where: around the side cover\n    hidden:\n      - {bolt: 10, where: behind the shift lever}\n    order: \"1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12\"\n    layout: {circle: 1-12, diameter: 240}\n  - id: end\n    name: end bolts\n    size: ten millimetre\n    thread: M10\n    class: 10.9\n    bolts: 13-14\n    where: at the shaft end\n    single_use: true\n    spare: end-bolts\n    layout: {rows: [13-14], width: 60}\n\ntimers: []\n\nchapters:\n  - chapter: Strip\n    steps:\n      - {id: cover-out, count: Take out the cover bolts and count them., out: cover, place: the tray}\n      - {id: end-out, count: Take out the end bolts and count them., out: end, place: the scrap box}\n      - {id: lift-off, do: Lift off the side cover with its old gasket., supplies: [rags]}\n\n  - chapter: Refit\n    steps:\n      - {id: new-gasket, fit: Lay a new gasket on the housing., spare: gasket}\n      - {id: cover-on, do: Set the side cover on its two studs., refits: lift-off}\n      - {id: cover-in, count: Put in the cover bolts by hand and count them., in: cover}\n      - {id: end-new, fit: Put in new end bolts by hand., spare: end-bolts, quantity: 2}\n      - id: cover-tight\n        tighten: Tighten the cover bolts crosswise in two stages.\n        tools: [small-wrench, crowfoot]\n        minutes: 8\n        stages:\n          - tool: small-wrench\n            torque: 10 N·m\n            runs: [{group: cover, bolts: order}]\n          - tool: small-wrench\n            torque: 24 N·m\n            limits: 22.5 to 25.5 N·m\n            adapter: {length: 35 mm, name: crowfoot}\n            note: The rim leaves room for a crowfoot only.\n            runs: [{group: cover, bolts: order}]\n      - id: end-tight\n        tighten: Tighten the end bolts, first by torque and then by angle.\n        tools: [small-wrench, angle-gauge]\n        minutes: 3\n        stages:\n          - {tool: small-wrench, torque: 30 N·m, runs: [{group: end, bolts: 13-14}]}\n          - {tool: angle-gauge, angle: 60°, swing: 40°, to_yield: true, runs: [{group: end, bolts: 13-14}]}\n\nclosing:\n  - {id: turns, check: \"Does the shaft turn freely?\"}\n  - {id: tools-back, check: \"Are all tools and rags back in their places?\"}\n\napproval: {by: Alder Row training workshop, on: 2026-11-26, content: 84e666535be2}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Side cover of the practice gearbox","tools":{"clicks":{},"name":"practice-bay.yaml","sha256":"c2045a34bbfad33bbbe5586378f21f461bae4a53476293674ac720c38b50db8a","yaml":"# The tools of the practice bay. All values in this file are invented; do not use it as the tool file of a real bay.\n# A real one is written from the tools in the drawer and their calibration certificates: see docs/tools.md.\nwrenches:\n  - id: small-wrench\n    name: small wrench\n    type: II A\n    unit: N·m\n    low: 5\n    high: 50\n    graduation: 0.5\n    lever: 250 mm\n    calibrated: 2026-05-04\n    uses: 240\n  - id: large-wrench\n    name: large wrench\n    type: II A\n    unit: N·m\n    low: 40\n    high: 200\n    graduation: 1\n    lever: 450 mm\n    calibrated: 2026-05-04\n    uses: 1310\n  - id: pound-wrench\n    name: pound wrench\n    type: II A\n    unit: lbf·ft\n    low: 5\n    high: 75\n    graduation: 0.5\n    lever: 300 mm\n    calibrated: 2026-02-16\n    uses: 95\nmultipliers:\n  - {id: multiplier, name: torque multiplier, torque_ratio: 4.5, gear_ratio: 5, rated_output: 1300 N·m, accuracy: 4}\nadapters:\n  - {id: crowfoot, name: crowfoot, length: 35 mm}\n  - {id: long-crowfoot, name: long crowfoot, length: 60 mm}\ngauges:\n  - {id: angle-gauge, name: angle gauge, graduation: 2°}\nsockets:\n  - {id: socket-ten, name: ten millimetre socket, size: 10 mm}\n  - {id: bit-fifty, name: star bit, size: T50}\n"}}','0000000000000000000000000000000000000000000000000000000000000000','cec6f5a00ed708eed343ba41ce5b74c6a757dcaf951ab2a8d3c91005f3e1c29a');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',2,1795248000000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','cec6f5a00ed708eed343ba41ce5b74c6a757dcaf951ab2a8d3c91005f3e1c29a','eca3fb64b8fd9902b95599cd6b2ada16fec0fff29f369e273516b945a147b2c1');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',3,1795248022900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248022900,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795248022500,"words":""}','eca3fb64b8fd9902b95599cd6b2ada16fec0fff29f369e273516b945a147b2c1','5d1afe9038bdbd0fb27338ab0f6ddfd532568b42ffbc868f26f648b2ca8ff727');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',4,1795248022900,'prepared',1,3,'{"missing":[],"place":"conditions:1","repeated":false}','5d1afe9038bdbd0fb27338ab0f6ddfd532568b42ffbc868f26f648b2ca8ff727','cd62b229195e84051b4876a7d62de93d6a17f2ccf80bcff5483b76bce4a5f2a8');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',5,1795248022900,'arrived',1,3,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','cd62b229195e84051b4876a7d62de93d6a17f2ccf80bcff5483b76bce4a5f2a8','2ab0d30dcd7ad1475f7f3d792853be15e0560206a287ac3f2df9207e22131d9d');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',6,1795248026200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248026200,"hazard":null,"intent":"bolt_broke","number":"13","source":"voice","started_ms":1795248025000,"words":""}','2ab0d30dcd7ad1475f7f3d792853be15e0560206a287ac3f2df9207e22131d9d','b2c4c21ce2fbb1d19c748bd982b9967f50b147ce8a2334da9a1a4588a0077e18');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',7,1795248026200,'asked',1,6,'{"at_ms":1795248026200,"needs_reason":false,"question":{"bolt":13,"group":"end","others":[],"trouble":"broken","what":"bolt_held"},"reason":""}','b2c4c21ce2fbb1d19c748bd982b9967f50b147ce8a2334da9a1a4588a0077e18','92564fa08ecb7733f21c7672e1da5464202bf00ca92b61da4449f5e0d00efc88');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',8,1795248031900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248031900,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795248031500,"words":""}','92564fa08ecb7733f21c7672e1da5464202bf00ca92b61da4449f5e0d00efc88','23a7a3d9a1c03ccd9e9da74e69a4036e307a3ab18951d341f623ac4a32375ffa');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',9,1795248031900,'granted',1,8,'{"what":"bolt_held"}','23a7a3d9a1c03ccd9e9da74e69a4036e307a3ab18951d341f623ac4a32375ffa','4c1d5fc125caa7a4561fcf09cfa22f28973939f560d721c2efe63ee37713c0f0');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',10,1795248031900,'bolt_held',1,8,'{"bolt":13,"group":"end","reopened":[],"step":null,"undone":[],"what":"broken","worn":false}','4c1d5fc125caa7a4561fcf09cfa22f28973939f560d721c2efe63ee37713c0f0','fa092846e607a132231fb6edaec071b84b5b077874b5235db561fe2cd5c725e5');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',11,1795248037600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248037600,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1795248036400,"words":""}','fa092846e607a132231fb6edaec071b84b5b077874b5235db561fe2cd5c725e5','989bbc01271c8effd3ab40876720fed5d8f70884ef85e034dd277454c480a346');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',12,1795248037600,'asked',1,11,'{"at_ms":1795248037600,"needs_reason":false,"question":{"heard_ms":1795248031900,"what":"take_back"},"reason":""}','989bbc01271c8effd3ab40876720fed5d8f70884ef85e034dd277454c480a346','d4704f8b5ac8dbcc4cf847b0b2b9c4e49361ab135cd5e342c4f16221980834df');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',13,1795248041700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248041700,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795248041300,"words":""}','d4704f8b5ac8dbcc4cf847b0b2b9c4e49361ab135cd5e342c4f16221980834df','e47facb355ea0ea2af19684a27bdb46b1ef89c0b42c33ecb12f9a2b4dd011245');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',14,1795248041700,'granted',1,13,'{"what":"take_back"}','e47facb355ea0ea2af19684a27bdb46b1ef89c0b42c33ecb12f9a2b4dd011245','adaf95a31188051b2caa93cbd648a49d7a2b45524a8263ad107cddbb7bbc9faa');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',15,1795248041700,'taken_back',1,13,'{"by":"","confirmed_by":"","heard_ms":1795248031900,"place":"persons:1"}','adaf95a31188051b2caa93cbd648a49d7a2b45524a8263ad107cddbb7bbc9faa','0ecf1d29e5c66cd8038e8eeb42691e9c7dd9f18fe9d19bf4fbc22ef800530aeb');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',16,1795248041700,'hold_taken_back',1,13,'{"bolt":13,"group":"end","must_loosen":false,"worn":false}','0ecf1d29e5c66cd8038e8eeb42691e9c7dd9f18fe9d19bf4fbc22ef800530aeb','196ed14a9ee6cdb7ec79008b5e5f70347961830dbdabdde984e380483474725d');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',17,1795248041700,'arrived',1,13,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','196ed14a9ee6cdb7ec79008b5e5f70347961830dbdabdde984e380483474725d','6f7b51e337c84ccd8bc5413d8ea344112ddd5c8c4a699c4cc20712733f1f028c');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',18,1795248045800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248045800,"hazard":null,"intent":"bolt_broke","number":"13","source":"voice","started_ms":1795248044600,"words":""}','6f7b51e337c84ccd8bc5413d8ea344112ddd5c8c4a699c4cc20712733f1f028c','928e30ddf10b77bcc0c3bdd9d6ec4262fd43d9e8e033b85bc421072a4f2bf54f');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',19,1795248045800,'asked',1,18,'{"at_ms":1795248045800,"needs_reason":false,"question":{"bolt":13,"group":"end","others":[],"trouble":"broken","what":"bolt_held"},"reason":""}','928e30ddf10b77bcc0c3bdd9d6ec4262fd43d9e8e033b85bc421072a4f2bf54f','3a7c5b47e9a290354708863d38075590a5e2117091aee260c722a20149edbbb5');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',20,1795248051500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248051500,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795248051100,"words":""}','3a7c5b47e9a290354708863d38075590a5e2117091aee260c722a20149edbbb5','882587bc85bc0958f18e9a52d8281962ef380246e9e084a029c3c1b8287db98e');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',21,1795248051500,'granted',1,20,'{"what":"bolt_held"}','882587bc85bc0958f18e9a52d8281962ef380246e9e084a029c3c1b8287db98e','c90d273f2802ab67215d968ff4d34065827951730df6a8b76245347eed528ecc');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',22,1795248051500,'bolt_held',1,20,'{"bolt":13,"group":"end","reopened":[],"step":null,"undone":[],"what":"broken","worn":false}','c90d273f2802ab67215d968ff4d34065827951730df6a8b76245347eed528ecc','0f30c840f46f95b319429505a4d57918bfdca03be6320e984304bb2abecd4baf');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',23,1795248055200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248055200,"hazard":null,"intent":"bolt_replaced","number":"13","source":"voice","started_ms":1795248053600,"words":""}','0f30c840f46f95b319429505a4d57918bfdca03be6320e984304bb2abecd4baf','713dbbca41d8768927ee6a509b7a3ff012220c0a087d6feb09de6ca46dba6794');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',24,1795248055200,'asked',1,23,'{"at_ms":1795248055200,"needs_reason":false,"question":{"bolt":13,"group":"end","how":"replaced","others":[],"what":"bolt_freed"},"reason":""}','713dbbca41d8768927ee6a509b7a3ff012220c0a087d6feb09de6ca46dba6794','02bb0bb8550d206469e19b922d3c7ef1798013f8b4264558a23185b7eea1b8db');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',25,1795248060100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248060100,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795248059700,"words":""}','02bb0bb8550d206469e19b922d3c7ef1798013f8b4264558a23185b7eea1b8db','f5d35184f7a6fe245c78008d3e4acac433d863519ed3b885579a73c10ab14dd3');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',26,1795248060100,'granted',1,25,'{"what":"bolt_freed"}','f5d35184f7a6fe245c78008d3e4acac433d863519ed3b885579a73c10ab14dd3','dd84ecd7ec9d383b5214d715118215638c5678a64d8863acb8072638d49df396');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',27,1795248060100,'bolt_freed',1,25,'{"bolt":13,"group":"end","how":"replaced","step":null,"what":"broken"}','dd84ecd7ec9d383b5214d715118215638c5678a64d8863acb8072638d49df396','1d230b8aa9612fb01463c946b213333a74ef408e113ce43ab1c7873be1a9d95e');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',28,1795248063400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248063400,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1795248062200,"words":""}','1d230b8aa9612fb01463c946b213333a74ef408e113ce43ab1c7873be1a9d95e','c58286f73cdfc475f50e8e80d742e2a48d5f47719c6ffc385488056abd42ce8b');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',29,1795248063400,'asked',1,28,'{"at_ms":1795248063400,"needs_reason":false,"question":{"heard_ms":1795248060100,"what":"take_back"},"reason":""}','c58286f73cdfc475f50e8e80d742e2a48d5f47719c6ffc385488056abd42ce8b','966d564266369470e86a83e7f4349aa9b210973ba8399e0c53015a09963c71eb');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',30,1795248067500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248067500,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795248067100,"words":""}','966d564266369470e86a83e7f4349aa9b210973ba8399e0c53015a09963c71eb','ad67d8989bcf04db37f72ffcf75711aa692608e1e37ef61110df6b920e3465a6');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',31,1795248067500,'granted',1,30,'{"what":"take_back"}','ad67d8989bcf04db37f72ffcf75711aa692608e1e37ef61110df6b920e3465a6','056b34ed1d6e1eca2f2d4be9159c415d58119f6271d9bf4eefed6a37ee607649');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',32,1795248067500,'taken_back',1,30,'{"by":"","confirmed_by":"","heard_ms":1795248060100,"place":"persons:1"}','056b34ed1d6e1eca2f2d4be9159c415d58119f6271d9bf4eefed6a37ee607649','6e03d05fdf8163338a3955b513a26c6d464f61ebdb1a8541ad0e1882587baeff');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',33,1795248067500,'bolt_held',1,30,'{"bolt":13,"group":"end","reopened":[],"step":null,"undone":[],"what":"broken","worn":false}','6e03d05fdf8163338a3955b513a26c6d464f61ebdb1a8541ad0e1882587baeff','bba7d51ae7f81af79c1a870f5caec69fc35c963ce27d417b2842cc8094c04a04');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',34,1795248067500,'arrived',1,30,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','bba7d51ae7f81af79c1a870f5caec69fc35c963ce27d417b2842cc8094c04a04','5e6aef67358abf7d0a4b7a0db76ecfed6519bf8ffcd4c6bf64b96254a5b32125');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',35,1795248072800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248072800,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795248072000,"words":""}','5e6aef67358abf7d0a4b7a0db76ecfed6519bf8ffcd4c6bf64b96254a5b32125','15660db2fe21bd81c8b6d0791c93df27b748c9483b45b1652cf927e9066be676');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',36,1795248072800,'dictation_begun',1,35,'{"at_ms":1795248072800,"question":{"what":"finish"},"what":"reason"}','15660db2fe21bd81c8b6d0791c93df27b748c9483b45b1652cf927e9066be676','b460dd6e5e0ef2225ba10e2fc398ee1fbabe88799ccc4f652f3d5f8ac70f5cc3');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',37,1795248085700,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1795248085700,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1795248083700,"words":{"sealed":"dad3d035f6e92852fea5478c3f62866a7e71880cc643193b71eccec29bccc98f"}}','b460dd6e5e0ef2225ba10e2fc398ee1fbabe88799ccc4f652f3d5f8ac70f5cc3','778d60c15d2393e36f27f1c746359e15a7e1ae09354448b4a99ce2a75543de33');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',38,1795248085700,'words_taken',1,37,'{"at_ms":1795248085700,"is_cut":false,"text":{"sealed":"ddf5cb99eb42a5143ceefbe2b68c833998dab6049a36af327859c312428e6cf7"}}','778d60c15d2393e36f27f1c746359e15a7e1ae09354448b4a99ce2a75543de33','1d9000415907afc9620e92dae7ef94917e132a348d0bdaa735b83ab571cbbe4b');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',39,1795248087000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248087000,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1795248086200,"words":""}','1d9000415907afc9620e92dae7ef94917e132a348d0bdaa735b83ab571cbbe4b','03e09a82e512190e7898e34cb0c2743ea24520064dd6cbe59b9b1d1766fe0b1f');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',40,1795248087000,'asked',1,39,'{"at_ms":1795248087000,"needs_reason":false,"question":{"what":"finish"},"reason":{"sealed":"0138e9f4ac29fc1411359ff80b2de007f9306589138f3ea199f9b848eab9cdc2"}}','03e09a82e512190e7898e34cb0c2743ea24520064dd6cbe59b9b1d1766fe0b1f','2375d9399de0f3fba6336f3756653537084835c397a55efa1c0284509e5fb3f5');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',41,1795248101900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795248101900,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795248101500,"words":""}','2375d9399de0f3fba6336f3756653537084835c397a55efa1c0284509e5fb3f5','68fad57fbe9a16fbb4bb5fb7ebf2e1ddd8a7fdf976c321315f2cc7100e1c9147');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',42,1795248101900,'granted',1,41,'{"what":"finish"}','68fad57fbe9a16fbb4bb5fb7ebf2e1ddd8a7fdf976c321315f2cc7100e1c9147','df64a078b77270b01617be45f0779f563b1ba4a6c65ce559465ccc620979c77d');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',43,1795248101900,'trouble_left',1,41,'{"bolts":[{"bolt":13,"group":"end","what":"broken"}],"dropped":[]}','df64a078b77270b01617be45f0779f563b1ba4a6c65ce559465ccc620979c77d','d59213fb35481d8ea1f589fa9b169568f170d7f1b8c6ad32a5ce03b50f6d2ad5');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',44,1795248101900,'closed',1,41,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":["cover","end"],"open_parts":["new-gasket","end-new"],"open_problems":[],"open_stages":[["cover-tight",1],["cover-tight",2],["end-tight",1],["end-tight",2]],"open_steps":["persons:1","equipment:1","supplies:1","spares:1","safety:1","cover-out","end-out","lift-off","new-gasket","cover-on","cover-in","end-new","cover-tight","end-tight","turns","tools-back"],"open_values":[],"reason":{"sealed":"0e75bb823038a7b0b95c82841205a2a5ec5b5b76d14c6c0d5d62dbb153c92ff5"}}','d59213fb35481d8ea1f589fa9b169568f170d7f1b8c6ad32a5ce03b50f6d2ad5','d7b4927ab2f50b1beca24c30a31e6132dbedca9f7abbfee9ba886433ebe5c46e');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-21-1',44,'d7b4927ab2f50b1beca24c30a31e6132dbedca9f7abbfee9ba886433ebe5c46e');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-21-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',1,'approved_by','2a88cff6cd7d44e7d432b3b911d7f68f','"Alder Row training workshop"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',1,'procedure_path','e34a068846bf7972cbcafc4977342c44','"/tmp/practice-bay-1p6r6d2e/gearbox-side-cover.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',37,'words','43e9d85ef45cfbdc0c7236116ce93ac8','"the rest comes another day"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',38,'text','181b754055bb57cb8c49d2fee47637c2','"the rest comes another day"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',40,'reason','8c1eb348536e2836bdede25ef68e24b4','"the rest comes another day"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',44,'reason','29a76d886d76c226c42bf9428a4f1640','"the rest comes another day"');
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
