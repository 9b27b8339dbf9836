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
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',1,1795593600000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"0319741f49d05966e0244a7775df69aeca6f25ed9f625f41b3e62cbf9ac6e7ed"},"procedure_file":"two-lids.yaml","procedure_id":"two-lids","procedure_path":{"sealed":"808affe5e761a08f3778173f7c257a179720809cc62acb5001d0481d5057b005"},"procedure_revision":"1","procedure_sha256":"0f2829619f2ca726752b1211bb785edb17eedb26be7cea833f2cc0c4daecd655","procedure_yaml":"# All values are invented, for tests of the assistant only: not for use on any machine.\nprocedure:\n  id: two-lids\n  title: Two lids of the practice case\n  revision: 1\n  source: Invented for these tests\n  machine: Practice case on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The case is clamped.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: wrench, name: torque wrench}\n  supplies:\n    - {id: rags, name: rags}\n  spares: []\n  safety: []\ngroups:\n  - {id: lid, name: lid bolts, size: six millimetre, bolts: 1-6}\n  - {id: cap, name: cap bolts, size: eight millimetre, bolts: 5-8}\nchapters:\n  - chapter: Strip\n    steps:\n      - id: loosen\n        tighten: Loosen the lid bolts crosswise.\n        stages:\n          - {purpose: loosen, angle: 90°, runs: [{group: lid, bolts: [1, 4, 2, 5, 3, 6]}]}\n      - {id: lid-out, count: Take out the lid bolts and count them., out: lid, place: the tray}\n      - {id: cap-out, count: Take out the cap bolts and count them., out: cap, place: the tray}\n      - {id: lift, do: Lift the lid., supplies: [rags]}\n  - chapter: Refit\n    steps:\n      - {id: lid-on, do: Put the lid on.}\n      - {id: lid-in, count: Put in the lid bolts by hand and count them., in: lid}\n      - {id: cap-in, count: Put in the cap bolts by hand and count them., in: cap}\n      - id: tighten\n        tighten: Tighten the lid in two stages.\n        tools: [wrench]\n        stages:\n          - {torque: 5 N·m, runs: [{group: lid, bolts: [1, 4, 2, 5, 3, 6]}]}\n          - {torque: 9 N·m, runs: [{group: lid, bolts: [1, 4, 2, 5, 3, 6]}]}\n      - id: tighten-cap\n        tighten: Tighten the cap in two stages.\n        tools: [wrench]\n        stages:\n          - {torque: 10 N·m, runs: [{group: cap, bolts: [5, 7, 6, 8]}]}\n          - {torque: 20 N·m, runs: [{group: cap, bolts: [5, 7, 6, 8]}]}\n      - {id: wipe, do: Wipe the lids., supplies: [rags]}\nclosing:\n  - {id: rag, check: \"Is a rag left in the case?\", answer: \"no\"}\n  - {id: tools, check: Are all tools accounted for?}\n  - {id: turn, do: Turn the shaft by hand through one turn., turns: yes}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Two lids of the practice case","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','3ac16243f4a223ff110a81753b2e5cebf2963e41acaedbeadb6b9394435dda19');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',2,1795593600000,'operators_named',1,1,'{"names":{"sealed":"108db1fb95b8c2854708bd0196e50c87a4c2001faa157210d5ba18c271fd9f44"}}','3ac16243f4a223ff110a81753b2e5cebf2963e41acaedbeadb6b9394435dda19','52465325fb93ff30c28c83e71b05d703661041b39047345a2e1bec0b4284d42d');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',3,1795593600000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','52465325fb93ff30c28c83e71b05d703661041b39047345a2e1bec0b4284d42d','5de1d218daa2e2b087634a9c8425c1684748f2b4d61b90307eb78e9b97e0230e');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',4,1795593616100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593616100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795593615700,"words":""}','5de1d218daa2e2b087634a9c8425c1684748f2b4d61b90307eb78e9b97e0230e','26cfa843cb055a644d1880c73014d0ec7c6ae3feb8fc8407b39505340d42ee3f');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',5,1795593616100,'prepared',1,4,'{"missing":[],"place":"conditions:1","repeated":false}','26cfa843cb055a644d1880c73014d0ec7c6ae3feb8fc8407b39505340d42ee3f','dc85058c40fa0b0fc140a4c48c39c33e3b44fe2f27067945e558796b922462fe');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',6,1795593616100,'arrived',1,4,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','dc85058c40fa0b0fc140a4c48c39c33e3b44fe2f27067945e558796b922462fe','ef591e486c878fbcab06e55f2242c93f9d6a60a37d6208c24ed4134fd6332715');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',7,1795593618600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593618600,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795593618200,"words":""}','ef591e486c878fbcab06e55f2242c93f9d6a60a37d6208c24ed4134fd6332715','d0f74ecf6074bfe7c7c2288ec363ce1c7b9d83dceca85dd8154a7df8cdef065e');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',8,1795593618600,'prepared',1,7,'{"missing":[],"place":"persons:1","repeated":false}','d0f74ecf6074bfe7c7c2288ec363ce1c7b9d83dceca85dd8154a7df8cdef065e','82a383f78a904367040b4abb5fbb48d558353485ebf045db2f1a9fe0f2dc0b23');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',9,1795593618600,'arrived',1,7,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','82a383f78a904367040b4abb5fbb48d558353485ebf045db2f1a9fe0f2dc0b23','cbf12c18fc6a32a9bbf38275011d805fafa4a66f37586ddbf103bdcb59d2b0f4');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',10,1795593621500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593621500,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795593621100,"words":""}','cbf12c18fc6a32a9bbf38275011d805fafa4a66f37586ddbf103bdcb59d2b0f4','ae45a8d7f88413a741555c1ed838e6dcaba3325c214e0955017905402dab293a');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',11,1795593621500,'prepared',1,10,'{"missing":[],"place":"equipment:1","repeated":false}','ae45a8d7f88413a741555c1ed838e6dcaba3325c214e0955017905402dab293a','da4b73f9b21dd61fdf159e00a2d6c575f9a0bd0a2bd1965b167d1a58bd57d59d');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',12,1795593621500,'arrived',1,10,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"supplies:1"}','da4b73f9b21dd61fdf159e00a2d6c575f9a0bd0a2bd1965b167d1a58bd57d59d','862fccfa651e8afb9ec913cd39ee72b515bd905031855be5ba4ec7588fa780b2');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',13,1795593623200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593623200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795593622800,"words":""}','862fccfa651e8afb9ec913cd39ee72b515bd905031855be5ba4ec7588fa780b2','335db9d52b232ca549c72b4f7851251871ed83e3df93fb29dee73f247162ba21');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',14,1795593623200,'prepared',1,13,'{"missing":[],"place":"supplies:1","repeated":false}','335db9d52b232ca549c72b4f7851251871ed83e3df93fb29dee73f247162ba21','46c05bff495583a113ca025029b67984e40d003edf5a4c3a17d8925c972caba8');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',15,1795593623200,'arrived',1,13,'{"bolt":{"bolt":1,"run":1,"turn":1},"bolts_anew":false,"hazards_anew":false,"place":"loosen"}','46c05bff495583a113ca025029b67984e40d003edf5a4c3a17d8925c972caba8','b6c8fa4daebf4495d0f424d9e235204a05dd93a984a073f60f762078fe2188e1');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',16,1795593633700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593633700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795593633300,"words":""}','b6c8fa4daebf4495d0f424d9e235204a05dd93a984a073f60f762078fe2188e1','63d58502ef9cea7e8ca927c89f7f8293694fb48e21f7a030f10e016d068ff72e');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',17,1795593633700,'tightened',1,16,'{"adapter":null,"at_ms":1795593633700,"bolts":[1,4,2,5],"clicks":0,"drag":null,"group":"lid","limits":{"high":null,"low":null},"multiplier":null,"reading":null,"repeated":false,"run":1,"setting":null,"single":false,"stage":1,"step":"loosen","target":{"unit":"°","value":"90"},"tolerance":null,"tool":null,"turn":1,"verdict":null,"way":"loosen"}','63d58502ef9cea7e8ca927c89f7f8293694fb48e21f7a030f10e016d068ff72e','fda00c794c07618d3102281d927fd788fb9b95f12378e855a7213b10c23e6c51');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',18,1795593633700,'reached',1,16,'{"bolt":{"bolt":3,"run":1,"turn":1},"step":"loosen"}','fda00c794c07618d3102281d927fd788fb9b95f12378e855a7213b10c23e6c51','d90b6f164248777e3b7833423175c16cce8e22f0a9240ff59cfb8f66af1c6eb2');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',19,1795593636200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593636200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795593635800,"words":""}','d90b6f164248777e3b7833423175c16cce8e22f0a9240ff59cfb8f66af1c6eb2','15bc7436223f10d1c9de244058334c26a3829bb41f999344944167ee922ac69f');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',20,1795593636200,'tightened',1,19,'{"adapter":null,"at_ms":1795593636200,"bolts":[3,6],"clicks":0,"drag":null,"group":"lid","limits":{"high":null,"low":null},"multiplier":null,"reading":null,"repeated":false,"run":1,"setting":null,"single":false,"stage":1,"step":"loosen","target":{"unit":"°","value":"90"},"tolerance":null,"tool":null,"turn":1,"verdict":null,"way":"loosen"}','15bc7436223f10d1c9de244058334c26a3829bb41f999344944167ee922ac69f','831f712f22e52e2ea08eff2a1495786bf0bdffcaded9e30f27adcf995e0a8390');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',21,1795593636200,'stage_done',1,19,'{"not_tightened":[],"stage":1,"step":"loosen","turn":1}','831f712f22e52e2ea08eff2a1495786bf0bdffcaded9e30f27adcf995e0a8390','8d9462371c7c155a23e75c4ca9a7f6c51a1769470fb7e2bf85f1610921927607');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',22,1795593636200,'reached',1,19,'{"bolt":null,"step":"loosen"}','8d9462371c7c155a23e75c4ca9a7f6c51a1769470fb7e2bf85f1610921927607','bf421011e4df7107a716b6d371fc4e5290ae0f13428a8494fba1efb141f28302');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',23,1795593636200,'step_done',1,19,'{"repeated":false,"step":"loosen"}','bf421011e4df7107a716b6d371fc4e5290ae0f13428a8494fba1efb141f28302','28cac4a7b07f01e23c518a9b8044bce4333321cbfac9ce249862a941f271bcd6');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',24,1795593636200,'arrived',1,19,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"lid-out"}','28cac4a7b07f01e23c518a9b8044bce4333321cbfac9ce249862a941f271bcd6','ef01a526a022a521107ed5e9d6799cbc973e525f0f7b885491c27f2c576593dd');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',25,1795593644700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795593644700,"hazard":null,"intent":"count","number":"6","source":"voice","started_ms":1795593643900,"words":""}','ef01a526a022a521107ed5e9d6799cbc973e525f0f7b885491c27f2c576593dd','51496187a483ecbf66d4c0b01e4ff2121cd5f8c7032773077ea8d35a5c2d7f9c');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',26,1795593644700,'counted',1,25,'{"count":6,"direction":"out","expected":6,"group":"lid","repeated":false,"step":"lid-out"}','51496187a483ecbf66d4c0b01e4ff2121cd5f8c7032773077ea8d35a5c2d7f9c','76c16cddf89899b3db9dc14615c02e2450c526d1135a4acfe22e39f60c90e76e');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',27,1795593644700,'step_done',1,25,'{"repeated":false,"step":"lid-out"}','76c16cddf89899b3db9dc14615c02e2450c526d1135a4acfe22e39f60c90e76e','80943d5674d184d94bd038ea8aac0ab81e22f7dd82a8ebf74961b1619887a81e');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',28,1795593644700,'arrived',1,25,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"cap-out"}','80943d5674d184d94bd038ea8aac0ab81e22f7dd82a8ebf74961b1619887a81e','8a1831b11ebf90bb8852b585c60a6c180fb56797491b46fade85d97264c7c7ff');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',29,1795593651600,'heard_alike',1,0,'{"alike":["4"],"clarity":"phrase","confidence":"1.000","ended_ms":1795593651600,"hazard":null,"intent":"count","name":"","number":"5","source":"voice","started_ms":1795593650800,"words":""}','8a1831b11ebf90bb8852b585c60a6c180fb56797491b46fade85d97264c7c7ff','3739c6759c6180788916d4f79d3e3b6d230e85773c9a4c16e00d6dd3aae35f6c');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',30,1795593651600,'asked',1,29,'{"at_ms":1795593651600,"needs_reason":false,"question":{"intent":"count","number":"5","step":"cap-out","unit":"","what":"heard_number"},"reason":""}','3739c6759c6180788916d4f79d3e3b6d230e85773c9a4c16e00d6dd3aae35f6c','c9c4bad29416015c383579ac20a60836bd1e316372d326fe22646c40a2f20666');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',31,1795595400000,'resumed',1,0,'{"operator":"","program":"0.1.0","start":null,"tools":null}','c9c4bad29416015c383579ac20a60836bd1e316372d326fe22646c40a2f20666','5e05aa689227781e9f0ce8211d620ad127e8ccd71cf30b7297d649825d753ae3');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',32,1795595400000,'cancelled',1,31,'{"at_ms":1795595400000,"what":"heard_number","why":"interrupted"}','5e05aa689227781e9f0ce8211d620ad127e8ccd71cf30b7297d649825d753ae3','20c4cd23e123eca3d973f973febabfc0a44ccdefb2674af963cb46f2ab47aaf7');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',33,1795595410500,'heard_alike',1,0,'{"alike":["4"],"clarity":"phrase","confidence":"1.000","ended_ms":1795595410500,"hazard":null,"intent":"count","name":"","number":"5","source":"voice","started_ms":1795595409700,"words":""}','20c4cd23e123eca3d973f973febabfc0a44ccdefb2674af963cb46f2ab47aaf7','49c98f41705e3b8ed51a117759cb2143cb5cd56a24bd1eb5d338abef58673a8b');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',34,1795595410500,'asked',1,33,'{"at_ms":1795595410500,"needs_reason":false,"question":{"intent":"count","number":"5","step":"cap-out","unit":"","what":"heard_number"},"reason":""}','49c98f41705e3b8ed51a117759cb2143cb5cd56a24bd1eb5d338abef58673a8b','0a9d050b80faf0748938c3d61a1cada68e0998b4516951fc948ab87ca830af92');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',35,1795595414600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795595414600,"hazard":null,"intent":"cancel","number":null,"source":"voice","started_ms":1795595414200,"words":""}','0a9d050b80faf0748938c3d61a1cada68e0998b4516951fc948ab87ca830af92','c1308ac953e2ad527a56f0ed1dcd2be7fa828f36e3e1bcd522dd8895b0eb8e81');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',36,1795595414600,'cancelled',1,35,'{"at_ms":1795595414600,"what":"heard_number","why":"said"}','c1308ac953e2ad527a56f0ed1dcd2be7fa828f36e3e1bcd522dd8895b0eb8e81','f8faccba631b28401d2b3cbceff55951c68a1340302d78a816691cd2a917e9d0');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',37,1795595417500,'heard_alike',1,0,'{"alike":["4"],"clarity":"phrase","confidence":"1.000","ended_ms":1795595417500,"hazard":null,"intent":"count","name":"","number":"5","source":"voice","started_ms":1795595416700,"words":""}','f8faccba631b28401d2b3cbceff55951c68a1340302d78a816691cd2a917e9d0','6c09b677d9ea7eda546c6324713df72ba23e61c646b0c1bad18879b444b244a9');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',38,1795595417500,'asked',1,37,'{"at_ms":1795595417500,"needs_reason":false,"question":{"intent":"count","number":"5","step":"cap-out","unit":"","what":"heard_number"},"reason":""}','6c09b677d9ea7eda546c6324713df72ba23e61c646b0c1bad18879b444b244a9','5612fb278e1927beb5aa37a93eabb102a24acb13ab5502095f3c4fa181eca2da');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',39,1795595421600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795595421600,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795595421200,"words":""}','5612fb278e1927beb5aa37a93eabb102a24acb13ab5502095f3c4fa181eca2da','9e4560ed3c2559c08f601ed484e7826446985ef03f8030c460cd15ad00d3effe');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',40,1795595421600,'granted',1,39,'{"what":"heard_number"}','9e4560ed3c2559c08f601ed484e7826446985ef03f8030c460cd15ad00d3effe','c4bc7d5a4c41da26ec6918a355371ea026d62e8a9d0da102c3e9a9b43595de39');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',41,1795595421600,'miscounted',1,39,'{"count":5,"step":"cap-out"}','c4bc7d5a4c41da26ec6918a355371ea026d62e8a9d0da102c3e9a9b43595de39','d8ffa5101a685e9039db7fc004ef5c6c3965b41051725cc5145e65d8c8c8fe5d');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',42,1795595421600,'asked',1,39,'{"at_ms":1795595421600,"needs_reason":true,"question":{"count":5,"step":"cap-out","what":"count"},"reason":""}','d8ffa5101a685e9039db7fc004ef5c6c3965b41051725cc5145e65d8c8c8fe5d','43930b714fd524ddccfe5d3c7d4bb70ead3b81e7b98fae96a2053346e138077b');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',43,1795595428900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795595428900,"hazard":null,"intent":"count","number":"4","source":"voice","started_ms":1795595428100,"words":""}','43930b714fd524ddccfe5d3c7d4bb70ead3b81e7b98fae96a2053346e138077b','684da9890bd2a3b9564644aa07701a294a7ed229f8fa1f3d74978bd8de86a492');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',44,1795595428900,'cancelled',1,43,'{"at_ms":1795595428900,"what":"count","why":"replaced"}','684da9890bd2a3b9564644aa07701a294a7ed229f8fa1f3d74978bd8de86a492','74e15c3b98b838ced6fba74556d5008081780bcab715bf10ecd8df4cc8e85af8');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',45,1795595428900,'counted',1,43,'{"count":4,"direction":"out","expected":4,"group":"cap","repeated":false,"step":"cap-out"}','74e15c3b98b838ced6fba74556d5008081780bcab715bf10ecd8df4cc8e85af8','90d6c5f1d4778fcad5a86ddfd772ef41456ba119b260efec60fa81e72e678f7c');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',46,1795595428900,'step_done',1,43,'{"repeated":false,"step":"cap-out"}','90d6c5f1d4778fcad5a86ddfd772ef41456ba119b260efec60fa81e72e678f7c','cd0a82e5cdc608d6c51484c9e776f0092f42c392d2566fd7d45eb18e278d7019');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',47,1795595428900,'arrived',1,43,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"lift"}','cd0a82e5cdc608d6c51484c9e776f0092f42c392d2566fd7d45eb18e278d7019','27731cff97a930f37b5c724776cb4b7a97314c7b391c2f2d0e71aad678cf2b0b');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',48,1795595432600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795595432600,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795595431800,"words":""}','27731cff97a930f37b5c724776cb4b7a97314c7b391c2f2d0e71aad678cf2b0b','52cb8b78113fbc5b254b2cbec29024c3ac9c58b3a888c3c76df72fa56a563914');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',49,1795595432600,'dictation_begun',1,48,'{"at_ms":1795595432600,"question":{"what":"finish"},"what":"reason"}','52cb8b78113fbc5b254b2cbec29024c3ac9c58b3a888c3c76df72fa56a563914','2fad3df1cb34b217fcc37a017a32e4edf53e8cd9cef6352e9d009669774378c1');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',50,1795595441500,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1795595441500,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1795595439500,"words":{"sealed":"ea135c0d39e85eab7ce2a4abebca16324ff11d254c93fb3c5c17745f43c7a765"}}','2fad3df1cb34b217fcc37a017a32e4edf53e8cd9cef6352e9d009669774378c1','0c092c6a2a679841437b7fdc85ec542fe92073a07e4bb572b7e5a123d3a75ab9');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',51,1795595441500,'words_taken',1,50,'{"at_ms":1795595441500,"is_cut":false,"text":{"sealed":"af121833d3ea3c9ba03e371189dfc8ad15a9387b9d2df54d437216b92eb633fb"}}','0c092c6a2a679841437b7fdc85ec542fe92073a07e4bb572b7e5a123d3a75ab9','7fad2c78e2c1269d2eb1cbbc8b9ab7ce41bf39f16477005cfab112c40482fa63');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',52,1795595442800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795595442800,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1795595442000,"words":""}','7fad2c78e2c1269d2eb1cbbc8b9ab7ce41bf39f16477005cfab112c40482fa63','8139db128f1186661007149d51b727ec4ca1d15cc9fcb0b1942276b4a80050d6');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',53,1795595442800,'asked',1,52,'{"at_ms":1795595442800,"needs_reason":false,"question":{"what":"finish"},"reason":{"sealed":"111e4e544a097599dd5deaf6faf054ab258500fbdbaf961845fc964163b5fe5c"}}','8139db128f1186661007149d51b727ec4ca1d15cc9fcb0b1942276b4a80050d6','1d708ae18b13f9236b9c66943871a7ac417c9493a8156a194ecb95a49d0e35f5');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',54,1795595453700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795595453700,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795595453300,"words":""}','1d708ae18b13f9236b9c66943871a7ac417c9493a8156a194ecb95a49d0e35f5','b8dd794bc0866f3feabf27f7271c70c93b1864088ab4253e59a5d017297fabf5');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',55,1795595453700,'granted',1,54,'{"what":"finish"}','b8dd794bc0866f3feabf27f7271c70c93b1864088ab4253e59a5d017297fabf5','4bcf6cd72e48c077d9c735a64ae46d797eef890aa72ad14b5e493d3cd83e3bdb');
INSERT INTO "entry" VALUES('bay1-2026-11-25-1',56,1795595453700,'closed',1,54,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":["lid","cap"],"open_parts":[],"open_problems":[],"open_stages":[["tighten",1],["tighten",2],["tighten-cap",1],["tighten-cap",2]],"open_steps":["lift","lid-on","lid-in","cap-in","tighten","tighten-cap","wipe","rag","tools","turn"],"open_values":[],"reason":{"sealed":"8366d535d184f2c0d4f95ad6b6afa89323315c7d48b0ccbfc0f5b013479a3235"}}','4bcf6cd72e48c077d9c735a64ae46d797eef890aa72ad14b5e493d3cd83e3bdb','1273eef0746b02c87e82dc4e7dd6c603e9d071f0a69ec64bbfa363ce0c20494c');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-25-1',56,'1273eef0746b02c87e82dc4e7dd6c603e9d071f0a69ec64bbfa363ce0c20494c');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-25-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',1,'operator','045b0b7fb935f238dcb0d434e7c4e2f4','"R. Holm"');
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',1,'procedure_path','0f06bfc2f85d67f62d026e4c97fb3f08','"/tmp/practice-bay-7hgk_bwu/two-lids.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',2,'names','d92d12b63e7dd821b4777dcb599bee3d','"R. Holm"');
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',50,'words','d43dacdcb0b3d87436fca458ed08ce6f','"the pump is wanted elsewhere"');
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',51,'text','3e728597160f308c9354d0c26979f607','"the pump is wanted elsewhere"');
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',53,'reason','9a845c0d54343f9aa3050a0a54278abb','"the pump is wanted elsewhere"');
INSERT INTO "personal" VALUES('bay1-2026-11-25-1',56,'reason','a3c6e4aff2eb34cf83df436f4a3c737a','"the pump is wanted elsewhere"');
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
