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
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',1,1796025600000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"05001734d23661440a1d8e8fb1cfe913ab5a23e532f306764c3ff5ef6077d46b"},"procedure_file":"stretch-cap.yaml","procedure_id":"practice-cap","procedure_path":{"sealed":"3abdaa76e04e17b434a90045219a087c552ad61d1c4b652f1978eb2fb19fe3a3"},"procedure_revision":"1","procedure_sha256":"72aa5cc59a6d650a1c3ba86e903b9b328a7e88360ec0cd1b9adb4ebc3e2bbeaa","procedure_yaml":"# All values are invented, for tests of the assistant only: not for use on any machine.\nprocedure:\n  id: practice-cap\n  title: Cap of the practice press on stretch bolts\n  revision: 1\n  source: Invented for these tests\n  machine: Practice press on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The cap is off and its bolts lie in the tray.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: slide, name: sliding gauge}\n    - {id: wrench, name: torque wrench with a display}\n  supplies: []\n  spares: []\n  safety: []\ngroups:\n  - id: cap\n    name: cap bolts\n    size: ten millimetre\n    bolts: 1-7\n    thread: M10\n    class: 10.9\n    free_length: at most 118.5 mm\n    layout: {circle: 1-7}\nchapters:\n  - chapter: Close\n    steps:\n      - {id: lengths, measure: Measure the free length of each bolt., lengths: cap, tools: [slide]}\n      - id: cap-tight\n        tighten: Tighten the cap bolts in two stages.\n        tools: [wrench]\n        stages:\n          - {torque: 30 N·m, runs: [{group: cap, bolts: 1-7}]}\n          - {angle: 90°, runs: [{group: cap, bolts: 1-7}]}\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Cap of the practice press on stretch bolts","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','3025cb8283ebd9201a181522ee0b19cb3ceebbe330f5b79ec769fc91c586caae');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',2,1796025600000,'operators_named',1,1,'{"names":{"sealed":"4cf5a9f5a4807238f6b4d6e3842fa0729ff4b1792a4bfbd784f05fa28e3934fa"}}','3025cb8283ebd9201a181522ee0b19cb3ceebbe330f5b79ec769fc91c586caae','f45ced0918ffa0e0d8d264dff36dcaec4c02a5a3bd9d628ffdc86736c64b5013');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',3,1796025600000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','f45ced0918ffa0e0d8d264dff36dcaec4c02a5a3bd9d628ffdc86736c64b5013','0b4c6174901816dfc7e10381c3564577d84a040a9e7398876ad8b2318841181e');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',4,1796025619700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025619700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796025619300,"words":""}','0b4c6174901816dfc7e10381c3564577d84a040a9e7398876ad8b2318841181e','11b76eee33bebdafcd5403d57a6633aaaf602ac3bd9cd453c97b5a7291c94911');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',5,1796025619700,'prepared',1,4,'{"missing":[],"place":"conditions:1","repeated":false}','11b76eee33bebdafcd5403d57a6633aaaf602ac3bd9cd453c97b5a7291c94911','a43bd539e5ba274885859939eb86bf7cd772f51e118e5a3028e2ded18e77bc4e');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',6,1796025619700,'arrived',1,4,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','a43bd539e5ba274885859939eb86bf7cd772f51e118e5a3028e2ded18e77bc4e','6051532554a0cd4e2a8fb29a14b244a6a08e5f0380f516da926dfdde596c6ef6');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',7,1796025622200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025622200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796025621800,"words":""}','6051532554a0cd4e2a8fb29a14b244a6a08e5f0380f516da926dfdde596c6ef6','96b90a3cd2a78043e3bc5db53c6bb86156d1203c7512552e8c1bd9f01fc4282d');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',8,1796025622200,'prepared',1,7,'{"missing":[],"place":"persons:1","repeated":false}','96b90a3cd2a78043e3bc5db53c6bb86156d1203c7512552e8c1bd9f01fc4282d','e175e0d44877573254416675ebc5df32feb87cc2b520cdf303aa5e5b86abb3f6');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',9,1796025622200,'arrived',1,7,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','e175e0d44877573254416675ebc5df32feb87cc2b520cdf303aa5e5b86abb3f6','d47a0d10c20627425aae8b19e14f3d91855d321a182c3c3b8aa6929a061595a1');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',10,1796025627100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025627100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796025626700,"words":""}','d47a0d10c20627425aae8b19e14f3d91855d321a182c3c3b8aa6929a061595a1','bd62d7fca7a1905118613145bd2901f0677b7512e90358785ab163046cbd1ce0');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',11,1796025627100,'prepared',1,10,'{"missing":[],"place":"equipment:1","repeated":false}','bd62d7fca7a1905118613145bd2901f0677b7512e90358785ab163046cbd1ce0','caabfd58e7af105caa49a4e1f0f5b41bf5c4e7327bbaa9614d9eeec64678e521');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',12,1796025627100,'arrived',1,10,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"lengths"}','caabfd58e7af105caa49a4e1f0f5b41bf5c4e7327bbaa9614d9eeec64678e521','adaa649e95fcf6e8f03c9a8109a34eb97d7fc52391fa93beda2e0a0846d9e4d9');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',13,1796025639200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025639200,"hazard":null,"intent":"reading","number":"118.2","source":"voice","started_ms":1796025636400,"words":""}','adaa649e95fcf6e8f03c9a8109a34eb97d7fc52391fa93beda2e0a0846d9e4d9','59adba481ec0c1c46404d3775ec4696a8bec32ae9d8f2443870863a65001b81d');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',14,1796025639200,'cell_read',1,13,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"118.2"},"repeated":false,"row":"1","side":"within","step":"lengths","when":"found"}','59adba481ec0c1c46404d3775ec4696a8bec32ae9d8f2443870863a65001b81d','4237ed96b64ed0be161cdc533fd1f23c9521ec885a259c057ec01c0294611f25');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',15,1796025646100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025646100,"hazard":null,"intent":"reading","number":"18.2","source":"voice","started_ms":1796025644500,"words":""}','4237ed96b64ed0be161cdc533fd1f23c9521ec885a259c057ec01c0294611f25','d79f89bb39e6954ff99a81c4691d5b3c39084e47039e79a856f3007ca3b15ac8');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',16,1796025646100,'asked',1,15,'{"at_ms":1796025646100,"needs_reason":false,"question":{"cell":{"column":"length-found","row":"2"},"reading":{"unit":"mm","value":"18.2"},"step":"lengths","what":"far_reading"},"reason":""}','d79f89bb39e6954ff99a81c4691d5b3c39084e47039e79a856f3007ca3b15ac8','aa273f7bb41754fde39a8f6d8384489dba2df453a6ba01833b45ed612ad5c648');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',17,1796025657400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025657400,"hazard":null,"intent":"reading","number":"118.2","source":"voice","started_ms":1796025654600,"words":""}','aa273f7bb41754fde39a8f6d8384489dba2df453a6ba01833b45ed612ad5c648','2c9b70fbcb2f9007fefe3f9b00d59350155f1477e1161229b678229b97a253f0');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',18,1796025657400,'cancelled',1,17,'{"at_ms":1796025657400,"what":"far_reading","why":"replaced"}','2c9b70fbcb2f9007fefe3f9b00d59350155f1477e1161229b678229b97a253f0','ea31744406c7db17a7de078ac3f8b0b94c5b263ad7ce77c3747b486a939dd0b1');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',19,1796025657400,'cell_read',1,17,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"118.2"},"repeated":false,"row":"2","side":"within","step":"lengths","when":"found"}','ea31744406c7db17a7de078ac3f8b0b94c5b263ad7ce77c3747b486a939dd0b1','ed1ace2014731e8d77cd4a70972f064880054b93a14f3aafaad0afc053a85946');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',20,1796025665900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025665900,"hazard":null,"intent":"reading","number":"118.49","source":"voice","started_ms":1796025662700,"words":""}','ed1ace2014731e8d77cd4a70972f064880054b93a14f3aafaad0afc053a85946','4e0e7e0d9041554fb2d0dbb8cac078867279595329d6e624612483a7dd07d415');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',21,1796025665900,'cell_read',1,20,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"118.49"},"repeated":false,"row":"3","side":"within","step":"lengths","when":"found"}','4e0e7e0d9041554fb2d0dbb8cac078867279595329d6e624612483a7dd07d415','4652627ff5deb8ddac5b21aea4bb510f1051362b2b93e3bdbfa04b220a89b216');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',22,1796025674000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025674000,"hazard":null,"intent":"reading","number":"119","source":"voice","started_ms":1796025672000,"words":""}','4652627ff5deb8ddac5b21aea4bb510f1051362b2b93e3bdbfa04b220a89b216','574d3de6e3540c767a94e393374fd9343faebac06903b3acd577e064e845c640');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',23,1796025674000,'cell_read',1,22,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"119"},"repeated":false,"row":"4","side":"above","step":"lengths","when":"found"}','574d3de6e3540c767a94e393374fd9343faebac06903b3acd577e064e845c640','da7b9f138d8c4aed0c3233598e7c977487ee925a0ba9f46050594c2b007fcecf');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',24,1796025680100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025680100,"hazard":null,"intent":"reading","number":"118","source":"voice","started_ms":1796025678100,"words":""}','da7b9f138d8c4aed0c3233598e7c977487ee925a0ba9f46050594c2b007fcecf','ccd55361fb9159eb1d3696c3c54fc2487b1ff75a08722d4039df1b823b004432');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',25,1796025680100,'cell_read',1,24,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"118"},"repeated":false,"row":"5","side":"within","step":"lengths","when":"found"}','ccd55361fb9159eb1d3696c3c54fc2487b1ff75a08722d4039df1b823b004432','28b7fe3c9e936ee3482c4ae8bf7dc9582ad59092ab80099ad501822d24149968');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',26,1796025685800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025685800,"hazard":null,"intent":"reading","number":"118","source":"voice","started_ms":1796025683800,"words":""}','28b7fe3c9e936ee3482c4ae8bf7dc9582ad59092ab80099ad501822d24149968','cdd9a4875dd39c977cdf918cd385efc96df33a48d74914a871b021c0b9a1b572');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',27,1796025685800,'cell_read',1,26,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"118"},"repeated":false,"row":"6","side":"within","step":"lengths","when":"found"}','cdd9a4875dd39c977cdf918cd385efc96df33a48d74914a871b021c0b9a1b572','42aa472085f049c8effdcdde43b2a2009f62833310eaa3c5a748cb58e678faa1');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',28,1796025691500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025691500,"hazard":null,"intent":"reading","number":"118","source":"voice","started_ms":1796025689500,"words":""}','42aa472085f049c8effdcdde43b2a2009f62833310eaa3c5a748cb58e678faa1','269cd730ac053bcd2b0b155897dab352310702e1fd6fea7f160d5bc7c7989452');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',29,1796025691500,'cell_read',1,28,'{"column":"length-found","limits":{"high":"118.5","low":null},"reading":{"unit":"mm","value":"118"},"repeated":false,"row":"7","side":"within","step":"lengths","when":"found"}','269cd730ac053bcd2b0b155897dab352310702e1fd6fea7f160d5bc7c7989452','7f12d9089860600f3a7f85cfa600ed18fe668fc8fba5d55ef6d82bf4da44e329');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',30,1796025701600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025701600,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796025701200,"words":""}','7f12d9089860600f3a7f85cfa600ed18fe668fc8fba5d55ef6d82bf4da44e329','3cd08a65192cfd9a2826ca02a1e5c2d2784f0ef38abc7cd4c070fbb53adb5628');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',31,1796025701600,'lengths_judged',1,30,'{"beyond":[4],"bolts":[1,2,3,4,5,6,7],"close":[3],"group":"cap","limit":{"unit":"mm","value":"118.5"},"step":"lengths","uncertainty":{"unit":"mm","value":"0.03"}}','3cd08a65192cfd9a2826ca02a1e5c2d2784f0ef38abc7cd4c070fbb53adb5628','21dc25293f4320f1bd8d0d9d18f7c7e31d2af8c804a40610361000cea7ca5d77');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',32,1796025701600,'table_read',1,30,'{"left_out":[],"off":[],"repeated":false,"step":"lengths"}','21dc25293f4320f1bd8d0d9d18f7c7e31d2af8c804a40610361000cea7ca5d77','7c600731a41f19ee071c05c390dddd0df384decaa277908e0e9556b9e696877b');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',33,1796025701600,'step_done',1,30,'{"repeated":false,"step":"lengths"}','7c600731a41f19ee071c05c390dddd0df384decaa277908e0e9556b9e696877b','d95a6da5eb4af29cbfd159cc2fbfa3af74a46bac2820fe65eabc17a010e1d5e1');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',34,1796025701600,'arrived',1,30,'{"bolt":{"bolt":1,"run":1,"turn":1},"bolts_anew":false,"hazards_anew":false,"place":"cap-tight"}','d95a6da5eb4af29cbfd159cc2fbfa3af74a46bac2820fe65eabc17a010e1d5e1','89256167ba554a8cf3f3c54f2faca60ea95aad39655afc8afea1694018cd8244');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',35,1796025724100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025724100,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796025723700,"words":""}','89256167ba554a8cf3f3c54f2faca60ea95aad39655afc8afea1694018cd8244','3fdb1aaf20de5fc4780adad29aea9bc37f7f96e54fba8feee32646b84aee740f');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',36,1796025724100,'new_confirmed',1,35,'{"bolts":[4],"group":"cap","in_place_of_worn":true,"step":"cap-tight"}','3fdb1aaf20de5fc4780adad29aea9bc37f7f96e54fba8feee32646b84aee740f','1aa2251f08ed8c7fd843c43a00064fe6981fb1b2592b5d726d7c73bcde3c9c61');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',37,1796025730200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025730200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796025729800,"words":""}','1aa2251f08ed8c7fd843c43a00064fe6981fb1b2592b5d726d7c73bcde3c9c61','aede7ccb81614891f0616bdf91223a1a223322db958b80c871a16ce75780fc07');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',38,1796025730200,'tightened',1,37,'{"adapter":null,"at_ms":1796025730200,"bolts":[1,2,3,4,5,6,7],"clicks":0,"drag":null,"group":"cap","limits":{"high":null,"low":null},"multiplier":null,"reading":null,"repeated":false,"run":1,"setting":null,"single":false,"stage":1,"step":"cap-tight","target":{"unit":"N·m","value":"30"},"tolerance":null,"tool":null,"turn":1,"verdict":null,"way":"torque"}','aede7ccb81614891f0616bdf91223a1a223322db958b80c871a16ce75780fc07','9e3c11e62f2f023ef030420ba7ac49d61ae1ac2deb76c4dfa150a374447d78d6');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',39,1796025730200,'stage_done',1,37,'{"not_tightened":[],"stage":1,"step":"cap-tight","turn":1}','9e3c11e62f2f023ef030420ba7ac49d61ae1ac2deb76c4dfa150a374447d78d6','62e1bd129d23da0274c7a3892cc04e4bd479649548ba70ce8f3dc9e63ce0077f');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',40,1796025730200,'reached',1,37,'{"bolt":{"bolt":1,"run":1,"turn":2},"step":"cap-tight"}','62e1bd129d23da0274c7a3892cc04e4bd479649548ba70ce8f3dc9e63ce0077f','e01868e683fb546538dbd01ce1bfb723820366ae455dd2e12f2a65d986491214');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',41,1796025736300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025736300,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796025735900,"words":""}','e01868e683fb546538dbd01ce1bfb723820366ae455dd2e12f2a65d986491214','7c144882527334ca242668be99c0ce51e869150e8f85ae5ba45096cea7f6cc85');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',42,1796025736300,'tightened',1,41,'{"adapter":null,"at_ms":1796025736300,"bolts":[1,2,3,4,5,6,7],"clicks":0,"drag":null,"group":"cap","limits":{"high":null,"low":null},"multiplier":null,"reading":null,"repeated":false,"run":1,"setting":null,"single":false,"stage":2,"step":"cap-tight","target":{"unit":"°","value":"90"},"tolerance":null,"tool":null,"turn":2,"verdict":null,"way":"angle"}','7c144882527334ca242668be99c0ce51e869150e8f85ae5ba45096cea7f6cc85','c97ac3ad5544a3b2babd67a8668c464a7ab3c3f492e64ec1f81db32f8387baaa');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',43,1796025736300,'stage_done',1,41,'{"not_tightened":[],"stage":2,"step":"cap-tight","turn":2}','c97ac3ad5544a3b2babd67a8668c464a7ab3c3f492e64ec1f81db32f8387baaa','c7f43cd8780947fb442261f5e6d5b2bfebff2664b2610c4562bc116b9f3a7959');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',44,1796025736300,'reached',1,41,'{"bolt":null,"step":"cap-tight"}','c7f43cd8780947fb442261f5e6d5b2bfebff2664b2610c4562bc116b9f3a7959','1151dac5ad2438117cfed5d4c2326837ca20fa9e04763e0b1def52379e536fad');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',45,1796025736300,'step_done',1,41,'{"repeated":false,"step":"cap-tight"}','1151dac5ad2438117cfed5d4c2326837ca20fa9e04763e0b1def52379e536fad','e883d2b13a52782245b5c10dc1d8f2e9edcd5d33aaa0b56e894f98fcd39ed0b8');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',46,1796025736300,'arrived',1,41,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"tools-back"}','e883d2b13a52782245b5c10dc1d8f2e9edcd5d33aaa0b56e894f98fcd39ed0b8','5cd927efc7a2c1ac2984b086e0ef743bc69adf8d335c250e61b7a004e85d25d4');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',47,1796025744000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025744000,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1796025743600,"words":""}','5cd927efc7a2c1ac2984b086e0ef743bc69adf8d335c250e61b7a004e85d25d4','be1b594b51703699dfa5c9314fb66d767e780a8d0dac006eb39c58c6dc963cc0');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',48,1796025744000,'check_answered',1,47,'{"expected":true,"repeated":false,"step":"tools-back","yes":true}','be1b594b51703699dfa5c9314fb66d767e780a8d0dac006eb39c58c6dc963cc0','5c13d0934a1e9940ff44ae562daf997830abf247a901d4a0443f41553a37ebee');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',49,1796025744000,'step_done',1,47,'{"repeated":false,"step":"tools-back"}','5c13d0934a1e9940ff44ae562daf997830abf247a901d4a0443f41553a37ebee','25df091ffa54e8714c60e21e0b059d5649fe0f322efbd8f6a4ad8c1fa743d2ff');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',50,1796025744000,'arrived',1,47,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end"}','25df091ffa54e8714c60e21e0b059d5649fe0f322efbd8f6a4ad8c1fa743d2ff','d0f9fe62ab8aede0d2dc2fbdf39eebc46f55575078ee862590498241c0c12583');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',51,1796025748500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025748500,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1796025747700,"words":""}','d0f9fe62ab8aede0d2dc2fbdf39eebc46f55575078ee862590498241c0c12583','3b4831f420751edc5ce3482aa61dc7fe2dd2eb4b4ec52b875082acd31728c912');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',52,1796025748500,'asked',1,51,'{"at_ms":1796025748500,"needs_reason":false,"question":{"what":"finish"},"reason":""}','3b4831f420751edc5ce3482aa61dc7fe2dd2eb4b4ec52b875082acd31728c912','b4f9f3af8d879573a62269854ab48022ac2cfd19d161a76cd5425efeb142c462');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',53,1796025751400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796025751400,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796025751000,"words":""}','b4f9f3af8d879573a62269854ab48022ac2cfd19d161a76cd5425efeb142c462','134fa0779e69a4c69450f6a70ecfd6d3fa86e4e596582e46b24087dd29aec568');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',54,1796025751400,'granted',1,53,'{"what":"finish"}','134fa0779e69a4c69450f6a70ecfd6d3fa86e4e596582e46b24087dd29aec568','8036704e31215fceb6362e7557ed2fafe4efd781fdcc05de0aa66f9aa1c67d2b');
INSERT INTO "entry" VALUES('bay1-2026-11-30-1',55,1796025751400,'closed',1,53,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":[],"open_values":[],"reason":""}','8036704e31215fceb6362e7557ed2fafe4efd781fdcc05de0aa66f9aa1c67d2b','a49b8231848ae8140ca0937792511948c77b1b28a4f3f77bff64707a89b3033a');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-30-1',55,'a49b8231848ae8140ca0937792511948c77b1b28a4f3f77bff64707a89b3033a');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-30-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-30-1',1,'operator','06bf235c603b34a728cbdba44c674d87','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-11-30-1',1,'procedure_path','6cd66dad5f0562063b96a7ad56e7ad25','"/tmp/practice-bay-6s75k9f8/stretch-cap.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-30-1',2,'names','029d70b5ced95df56ed6c5a32e215585','"A. Reed"');
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
