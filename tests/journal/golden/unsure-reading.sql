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
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',1,1795507200000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"b10597a43700258114f6604592436c9c14615837d2d5625e31fe2280f05fba86"},"procedure_file":"asking.yaml","procedure_id":"asking","procedure_path":{"sealed":"bb99afdcce41221a413c8d6fa6502cc4238a6ca363323180500daeb3fd9ec2bf"},"procedure_revision":"1","procedure_sha256":"8d454e54e7b5325840f9a0baceae539962103024733c64984481b571f86bed37","procedure_yaml":"# All values in this file are invented for practice and for tests. Do not use it on a vehicle or on any real machine.\nprocedure:\n  id: asking\n  title: Lid of the feed pump on a practice stand\n  revision: 1\n  source: Invented for the tests\n  machine: Practice feed pump on a bench\n  hazard_scheme: ansi\n\npreliminary:\n  conditions: [The stand is bolted to the bench.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: small-wrench, name: small torque wrench}\n    - {id: gauge, name: feeler gauge}\n  supplies: []\n  spares: []\n  safety: []\n\ngroups:\n  - id: long\n    name: long lid bolts\n    size: eight millimetre\n    bolts: 1-4\n    where: in the corners of the lid\n    hidden: [{bolt: 4, where: under the pipe}]\n  - {id: short, name: short lid bolts, size: six millimetre, bolts: 5-10, where: between the long ones}\n  - {id: pipe, name: pipe bolts, size: six millimetre, bolts: 11-12, where: at the inlet pipe}\n  - {id: foot, name: foot bolts, size: twelve millimetre, bolts: 13-16}\n  - {id: plug, name: level plug, size: eighteen millimetre, bolts: 17, where: at the left side}\n  - {id: band, name: band bolts, size: five millimetre, bolts: 18-19, where: on top}\n\ntimers:\n  - {id: cooling, name: time to cool, cool: 20 min}\n\nchapters:\n  - chapter: Look\n    steps:\n      - id: open\n        do: Clean the rim of the pump.\n        minutes: 4\n        why: Dirt on the rim would get into the bearing.\n      - id: gap\n        check: Measure the gap of the rotor.\n        limits: 0.10 to 0.30 mm\n        tools: [gauge]\n        minutes: 2\n        hazards:\n          - caution: The rotor has sharp edges.\n            consequence: They can cut your fingers.\n            avoid: Turn it by the shaft.\n      - {id: heat, do: Warm the lid to hand heat., starts: cooling, minutes: 10}\n      - {id: cool, wait: Let the lid cool., timer: cooling}\n  - chapter: Close\n    steps:\n      - {id: seat, do: Set the lid on its pins., info: The two pins differ in length.}\n      - id: lid-tight\n        tighten: Tighten the lid in two stages.\n        minutes: 9\n        tools: [small-wrench]\n        stages:\n          - runs:\n              - {group: long, bolts: \"1, 3, 2, 4\", torque: 5 N·m}\n              - {group: short, bolts: 5-10, torque: 4 N·m}\n          - runs:\n              - {group: long, bolts: \"1, 3, 2, 4\", torque: 10 N·m}\n              - {group: short, bolts: 5-10, torque: 8 N·m}\n\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Lid of the feed pump on a practice stand","tools":{"clicks":{},"name":"practice-bay.yaml","sha256":"c2045a34bbfad33bbbe5586378f21f461bae4a53476293674ac720c38b50db8a","yaml":"# The tools of the practice bay. All values in this file are invented; do not use it as the tool file of a real bay.\n# A real one is written from the tools in the drawer and their calibration certificates: see docs/tools.md.\nwrenches:\n  - id: small-wrench\n    name: small wrench\n    type: II A\n    unit: N·m\n    low: 5\n    high: 50\n    graduation: 0.5\n    lever: 250 mm\n    calibrated: 2026-05-04\n    uses: 240\n  - id: large-wrench\n    name: large wrench\n    type: II A\n    unit: N·m\n    low: 40\n    high: 200\n    graduation: 1\n    lever: 450 mm\n    calibrated: 2026-05-04\n    uses: 1310\n  - id: pound-wrench\n    name: pound wrench\n    type: II A\n    unit: lbf·ft\n    low: 5\n    high: 75\n    graduation: 0.5\n    lever: 300 mm\n    calibrated: 2026-02-16\n    uses: 95\nmultipliers:\n  - {id: multiplier, name: torque multiplier, torque_ratio: 4.5, gear_ratio: 5, rated_output: 1300 N·m, accuracy: 4}\nadapters:\n  - {id: crowfoot, name: crowfoot, length: 35 mm}\n  - {id: long-crowfoot, name: long crowfoot, length: 60 mm}\ngauges:\n  - {id: angle-gauge, name: angle gauge, graduation: 2°}\nsockets:\n  - {id: socket-ten, name: ten millimetre socket, size: 10 mm}\n  - {id: bit-fifty, name: star bit, size: T50}\n"}}','0000000000000000000000000000000000000000000000000000000000000000','e7e47163e59952dde18e35265a2e2f8a1ca21b4e3cbe17e87078be8e3d715942');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',2,1795507200000,'operators_named',1,1,'{"names":{"sealed":"c004500bb97d9bb813fb92ad99e7f8d08411be59b1022147e2821ff9950b8c5c"}}','e7e47163e59952dde18e35265a2e2f8a1ca21b4e3cbe17e87078be8e3d715942','2693e33d63a879b9234033abc28b424961c85536c491bbf3d078711581a69882');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',3,1795507200000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','2693e33d63a879b9234033abc28b424961c85536c491bbf3d078711581a69882','fc81ffb3c016b814333ef2faea588528935117af0dbec93954b4cbbd60f6cb00');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',4,1795507218500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795507218500,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795507218100,"words":""}','fc81ffb3c016b814333ef2faea588528935117af0dbec93954b4cbbd60f6cb00','8b921140d34697163430fdfbea65b5eb601d34f0a8743e843a9f87e392c6eddb');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',5,1795507218500,'prepared',1,4,'{"missing":[],"place":"conditions:1","repeated":false}','8b921140d34697163430fdfbea65b5eb601d34f0a8743e843a9f87e392c6eddb','67d27b0286aceb32821b8508818d9164ad84e80a3f6c01bfd55cf73f41bfb7a3');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',6,1795507218500,'arrived',1,4,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','67d27b0286aceb32821b8508818d9164ad84e80a3f6c01bfd55cf73f41bfb7a3','eba06dd800aaaccd18b9ce60dc6a90dfd5ffdee58a1d2a441f2e01ac2bde3432');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',7,1795507221000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795507221000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795507220600,"words":""}','eba06dd800aaaccd18b9ce60dc6a90dfd5ffdee58a1d2a441f2e01ac2bde3432','41d271aa1dbe77b0fea263ad523f541d93412723c53ce5298acf86bef7fcf923');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',8,1795507221000,'prepared',1,7,'{"missing":[],"place":"persons:1","repeated":false}','41d271aa1dbe77b0fea263ad523f541d93412723c53ce5298acf86bef7fcf923','fa2013e293d8fc7220bde2f9e412178d9128eaf75253a93ca83996a393e663e4');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',9,1795507221000,'arrived',1,7,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','fa2013e293d8fc7220bde2f9e412178d9128eaf75253a93ca83996a393e663e4','f311872ce6aa9b0206080e3cc54f84d523612c913f173e603fc103fe7cbdd822');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',10,1795507225100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795507225100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795507224700,"words":""}','f311872ce6aa9b0206080e3cc54f84d523612c913f173e603fc103fe7cbdd822','82eed20a08d87fb8d3c7a6cf7a81ea5eae4ad2a07de3f478919ccb0f9764dc4e');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',11,1795507225100,'prepared',1,10,'{"missing":[],"place":"equipment:1","repeated":false}','82eed20a08d87fb8d3c7a6cf7a81ea5eae4ad2a07de3f478919ccb0f9764dc4e','70d08eaba998d9eb71e7f3db5b5cdb58cc18c3686ba8f2ef051e231cba8fbb0d');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',12,1795507225100,'arrived',1,10,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"open"}','70d08eaba998d9eb71e7f3db5b5cdb58cc18c3686ba8f2ef051e231cba8fbb0d','eb7dc937a338368f92739b056fbdea0b73a3d817804920201ad9ceecf8325818');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',13,1795507230800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795507230800,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795507230400,"words":""}','eb7dc937a338368f92739b056fbdea0b73a3d817804920201ad9ceecf8325818','948a5011a43e529a7d277063dc2d1c236f4cf374574e526e8156fb7254ec047f');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',14,1795507230800,'step_done',1,13,'{"repeated":false,"step":"open"}','948a5011a43e529a7d277063dc2d1c236f4cf374574e526e8156fb7254ec047f','bb3e9b5370621427392b97c00535a8e936618ba0afca59e38ade100c0b2af11c');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',15,1795507230800,'arrived',1,13,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"gap"}','bb3e9b5370621427392b97c00535a8e936618ba0afca59e38ade100c0b2af11c','eb6fa44860ee533a256b43736054423b49afb608f0a23f44394c7973ebefc2ea');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',16,1795507238900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795507238900,"hazard":"all","intent":"next","number":null,"source":"voice","started_ms":1795507238500,"words":""}','eb6fa44860ee533a256b43736054423b49afb608f0a23f44394c7973ebefc2ea','40890dea93978bbbe8a6e7b825e86a2187ce4fb82a3c57be5e266e924c70f55a');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',17,1795507238900,'refused',1,16,'{"why":"past_hazard"}','40890dea93978bbbe8a6e7b825e86a2187ce4fb82a3c57be5e266e924c70f55a','91eda8c5ebf15d2dc4480889b430fb4c6a613b66c9761e8fb0f206f61d0804b3');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',18,1795507245000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795507245000,"hazard":"all","intent":"confirmed","number":null,"source":"voice","started_ms":1795507244600,"words":""}','91eda8c5ebf15d2dc4480889b430fb4c6a613b66c9761e8fb0f206f61d0804b3','bb02c423fde71a7b2a5395f3344db95039fe8fd05478156160673629194c15b5');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',19,1795507245000,'hazard_acknowledged',1,18,'{"heard":"all","number":1,"place":"gap","word":"caution"}','bb02c423fde71a7b2a5395f3344db95039fe8fd05478156160673629194c15b5','c3a334c2ff0615f04438832fd104160b22cd8d004339bdc2c4839bc0d8172571');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',20,1795507245000,'heard',1,0,'{"clarity":"phrase","confidence":"0.820","ended_ms":1795507245000,"hazard":null,"intent":"reading","number":"0.2","source":"voice","started_ms":1795507243400,"words":""}','c3a334c2ff0615f04438832fd104160b22cd8d004339bdc2c4839bc0d8172571','8fcce5706fb33ba7451b67e2ec56387b11376c3fec389f0352592abf102d7c38');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',21,1795507245000,'asked',1,20,'{"at_ms":1795507245000,"needs_reason":false,"question":{"reading":{"unit":"mm","value":"0.2"},"step":"gap","what":"unsure_reading"},"reason":""}','8fcce5706fb33ba7451b67e2ec56387b11376c3fec389f0352592abf102d7c38','7217aeaf4710a6668ac631a7dac91e3bd1ca8944af03c33404c4b6c2abf03625');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',22,1795509000000,'resumed',1,0,'{"operator":"","program":"0.1.0","start":null,"tools":{"clicks":{},"name":"practice-bay.yaml","sha256":"c2045a34bbfad33bbbe5586378f21f461bae4a53476293674ac720c38b50db8a","yaml":"# The tools of the practice bay. All values in this file are invented; do not use it as the tool file of a real bay.\n# A real one is written from the tools in the drawer and their calibration certificates: see docs/tools.md.\nwrenches:\n  - id: small-wrench\n    name: small wrench\n    type: II A\n    unit: N·m\n    low: 5\n    high: 50\n    graduation: 0.5\n    lever: 250 mm\n    calibrated: 2026-05-04\n    uses: 240\n  - id: large-wrench\n    name: large wrench\n    type: II A\n    unit: N·m\n    low: 40\n    high: 200\n    graduation: 1\n    lever: 450 mm\n    calibrated: 2026-05-04\n    uses: 1310\n  - id: pound-wrench\n    name: pound wrench\n    type: II A\n    unit: lbf·ft\n    low: 5\n    high: 75\n    graduation: 0.5\n    lever: 300 mm\n    calibrated: 2026-02-16\n    uses: 95\nmultipliers:\n  - {id: multiplier, name: torque multiplier, torque_ratio: 4.5, gear_ratio: 5, rated_output: 1300 N·m, accuracy: 4}\nadapters:\n  - {id: crowfoot, name: crowfoot, length: 35 mm}\n  - {id: long-crowfoot, name: long crowfoot, length: 60 mm}\ngauges:\n  - {id: angle-gauge, name: angle gauge, graduation: 2°}\nsockets:\n  - {id: socket-ten, name: ten millimetre socket, size: 10 mm}\n  - {id: bit-fifty, name: star bit, size: T50}\n"}}','7217aeaf4710a6668ac631a7dac91e3bd1ca8944af03c33404c4b6c2abf03625','ee142cb24977f650a445a4bc7215ea76d4e44fdae25b9c6bdddf0ebf8ab8e5d0');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',23,1795509000000,'cancelled',1,22,'{"at_ms":1795509000000,"what":"unsure_reading","why":"interrupted"}','ee142cb24977f650a445a4bc7215ea76d4e44fdae25b9c6bdddf0ebf8ab8e5d0','28b5e3e686cfc12d1e3039e9474767c1dd7793791fee4a37ce5e0cb9ceedc232');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',24,1795509015700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795509015700,"hazard":null,"intent":"reading","number":"0.2","source":"voice","started_ms":1795509014100,"words":""}','28b5e3e686cfc12d1e3039e9474767c1dd7793791fee4a37ce5e0cb9ceedc232','ad927a2395a25cc0a605f190e1cc380d15a26369ddf4850b0a7347bc08a08ca7');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',25,1795509015700,'reading',1,24,'{"in_limits":true,"limits":{"high":"0.30","low":"0.10"},"repeated":false,"step":"gap","unit":"mm","value":"0.2"}','ad927a2395a25cc0a605f190e1cc380d15a26369ddf4850b0a7347bc08a08ca7','eabfe58eaa4d3d101e221121270105e00cf6726858bb571565797409bb8364e8');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',26,1795509015700,'step_done',1,24,'{"repeated":false,"step":"gap"}','eabfe58eaa4d3d101e221121270105e00cf6726858bb571565797409bb8364e8','73c291fd31ae0acfde3b1d5bdfece0091db8af59a452fa0e0e714b82f117d524');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',27,1795509015700,'arrived',1,24,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"heat"}','73c291fd31ae0acfde3b1d5bdfece0091db8af59a452fa0e0e714b82f117d524','106d722edf265422619638fba887e6d5c9fb2086315d7c44efef0fb02c450c4e');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',28,1795509022600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795509022600,"hazard":null,"intent":"last_reading","number":null,"source":"voice","started_ms":1795509021000,"words":""}','106d722edf265422619638fba887e6d5c9fb2086315d7c44efef0fb02c450c4e','7ad8aef83fd3e011adf162485e9c1ade92c7698af20dcc3596230b31fe849af2');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',29,1795509027900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795509027900,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795509027100,"words":""}','7ad8aef83fd3e011adf162485e9c1ade92c7698af20dcc3596230b31fe849af2','179a06ae454e64ae7f6657df1ab330378085f1bfa5a0fb80f04e6c71799cfff5');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',30,1795509027900,'dictation_begun',1,29,'{"at_ms":1795509027900,"question":{"what":"finish"},"what":"reason"}','179a06ae454e64ae7f6657df1ab330378085f1bfa5a0fb80f04e6c71799cfff5','6fdb19edc6a6784c5aef19724a3965f140779561bf8c5e33b7e1cddce1d821c6');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',31,1795509036800,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1795509036800,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1795509034800,"words":{"sealed":"e1a2b9bfdfe5545a5128354519a02b2562b721ed8b6d9501045c472646c6bfa9"}}','6fdb19edc6a6784c5aef19724a3965f140779561bf8c5e33b7e1cddce1d821c6','d45bd94d6acfd1965a8f11799dc3e06a906db3c178419620bf22932139c1fbd0');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',32,1795509036800,'words_taken',1,31,'{"at_ms":1795509036800,"is_cut":false,"text":{"sealed":"c7ef6bd0430a902730b877b4828f79130a8acf9f5ff175405a83b4b10fee84d6"}}','d45bd94d6acfd1965a8f11799dc3e06a906db3c178419620bf22932139c1fbd0','c0bdb6764728576e341dac5aba961d87550d576d825a51086b980ea06784667c');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',33,1795509038100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795509038100,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1795509037300,"words":""}','c0bdb6764728576e341dac5aba961d87550d576d825a51086b980ea06784667c','d2b91335221748772a5b0e8a3076d600ec203c8cfc7a4f7175f4a6afa3e019db');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',34,1795509038100,'asked',1,33,'{"at_ms":1795509038100,"needs_reason":false,"question":{"what":"finish"},"reason":{"sealed":"999ce162de0e46883b4b7de3dac3c4537fa37565bfa142004ee8c80307c7c073"}}','d2b91335221748772a5b0e8a3076d600ec203c8cfc7a4f7175f4a6afa3e019db','bf86a0ffb7082b3d786538809a8a30a9d54abac4c3ae8d2cefd6754067353758');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',35,1795509049000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795509049000,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795509048600,"words":""}','bf86a0ffb7082b3d786538809a8a30a9d54abac4c3ae8d2cefd6754067353758','cb2e0c8b208f38de5f52ac1f188fc9d00cb6ffe79acfca194bf1c628506646d1');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',36,1795509049000,'granted',1,35,'{"what":"finish"}','cb2e0c8b208f38de5f52ac1f188fc9d00cb6ffe79acfca194bf1c628506646d1','fd34e5fbec9ddc0b867a50252bbf63e070f04f9236d98dff9f69c9ea588353af');
INSERT INTO "entry" VALUES('bay1-2026-11-24-1',37,1795509049000,'closed',1,35,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[["lid-tight",1],["lid-tight",2]],"open_steps":["heat","cool","seat","lid-tight","tools-back"],"open_values":[],"reason":{"sealed":"8146e5769b9965d201f1f921afd05d17a0b6a25a87f2ef4dca0515e9c5cd53e9"}}','fd34e5fbec9ddc0b867a50252bbf63e070f04f9236d98dff9f69c9ea588353af','052f986ffe62f764f6c63421072486ed604a2508c7ae6dbd27bf6a37e627a0a6');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-24-1',37,'052f986ffe62f764f6c63421072486ed604a2508c7ae6dbd27bf6a37e627a0a6');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-24-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',1,'operator','c2137d5d117275f6919f1d9c7e16c38b','"R. Holm"');
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',1,'procedure_path','fa434f5e5815ca9815eae824ca8b3ead','"/tmp/practice-bay-24_e3okb/asking.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',2,'names','ad1dfff283d8750744326f576de3e43d','"R. Holm"');
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',31,'words','84e77a780a5695a71ae37afe15fcc252','"the pump is wanted elsewhere"');
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',32,'text','55d994f606020c36956a0262c9c8a172','"the pump is wanted elsewhere"');
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',34,'reason','b4e698f81c3b8d2067018ae1f4d961c3','"the pump is wanted elsewhere"');
INSERT INTO "personal" VALUES('bay1-2026-11-24-1',37,'reason','f878416321aeb82eba0796a42447b465','"the pump is wanted elsewhere"');
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
