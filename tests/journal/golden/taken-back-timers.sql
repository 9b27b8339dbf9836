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
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',1,1795179600000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":"","procedure_file":"cure.yaml","procedure_id":"practice-cure","procedure_path":{"sealed":"48b9d4ee2de37772b5de1427e57b969ef7e06ff3cc7e24cf8dd864954976d48d"},"procedure_revision":"1","procedure_sha256":"64a29dbf153c4304b881742ada31af8fed1baad8b5d52c827377359f9998ae98","procedure_yaml":"# All values are invented, for tests of the assistant only: not for use on any machine.\nprocedure:\n  id: practice-cure\n  title: Cap of the practice housing\n  revision: 1\n  source: Invented for these tests\n  machine: Practice housing on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The housing is clamped.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: brush, name: brush}\n  supplies:\n    - {id: sealant, name: sealant}\n  spares: []\n  safety: []\ntimers:\n  - {id: open, name: open time, open: 10 min}\n  - {id: cure, name: cure, cure: 30 min}\ngroups: []\nchapters:\n  - chapter: Refit\n    steps:\n      - {id: paint, do: Put sealant on the face., supplies: [sealant], tools: [brush], starts: open}\n      - {id: cap-on, do: Put the cap on., before: open}\n      - {id: set, wait: Let it cure., timer: cure}\nclosing:\n  - {id: brush-clean, check: \"Is the brush clean?\", answer: \"yes\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Cap of the practice housing","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','cc11435152bde80fb02531357a41aefb04e96bf6ab0e7d4cc719b9e3bc1d2ce5');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',2,1795179600000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','cc11435152bde80fb02531357a41aefb04e96bf6ab0e7d4cc719b9e3bc1d2ce5','a0ff089b79afa3815ce6728cbdcf8587f2ad95cf69b8b04e7d89687fbd2a7239');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',3,1795179615700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179615700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179615300,"words":""}','a0ff089b79afa3815ce6728cbdcf8587f2ad95cf69b8b04e7d89687fbd2a7239','9ce5328d94ebd53c60de76ec0be13252b66380e296a52fdc0410c74da7995aa4');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',4,1795179615700,'prepared',1,3,'{"missing":[],"place":"conditions:1","repeated":false}','9ce5328d94ebd53c60de76ec0be13252b66380e296a52fdc0410c74da7995aa4','d412c0d58833a3ae21cf0009df619abb36951631c79ffa2a8b9ea9b86ec519b5');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',5,1795179615700,'arrived',1,3,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','d412c0d58833a3ae21cf0009df619abb36951631c79ffa2a8b9ea9b86ec519b5','03f4039134d7ad88c3185fcd9d7b363708defc40e04bd42980b7f9c35078e5ab');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',6,1795179618200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179618200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179617800,"words":""}','03f4039134d7ad88c3185fcd9d7b363708defc40e04bd42980b7f9c35078e5ab','6d08ca81c789ee0467010427dda5ed2e66995635773d1ed95a5a7847d73b629a');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',7,1795179618200,'prepared',1,6,'{"missing":[],"place":"persons:1","repeated":false}','6d08ca81c789ee0467010427dda5ed2e66995635773d1ed95a5a7847d73b629a','cb89c1a3a441d403a17bed4c138f7627cdc987e19943f812d121b8ba3c64bdb3');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',8,1795179618200,'arrived',1,6,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','cb89c1a3a441d403a17bed4c138f7627cdc987e19943f812d121b8ba3c64bdb3','f6d15c8a3a8cc7d3122aa2c0e519d3e511f3201775d1d7882b4e9cbf722bb9f2');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',9,1795179620700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179620700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179620300,"words":""}','f6d15c8a3a8cc7d3122aa2c0e519d3e511f3201775d1d7882b4e9cbf722bb9f2','cb747bcdc4bb98b25d5dc17f67bb3dacc40e1565dc388a5507dcba352432ce3d');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',10,1795179620700,'prepared',1,9,'{"missing":[],"place":"equipment:1","repeated":false}','cb747bcdc4bb98b25d5dc17f67bb3dacc40e1565dc388a5507dcba352432ce3d','6711a23388f76f976f37ef7ecffe8d63b096f3f1143264d4826ec0bee67f8fec');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',11,1795179620700,'arrived',1,9,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"supplies:1"}','6711a23388f76f976f37ef7ecffe8d63b096f3f1143264d4826ec0bee67f8fec','dbd9e66dc6bb88056a5311791727047cb411cf6e3e2219faf8671a8b277ff842');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',12,1795179622400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179622400,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179622000,"words":""}','dbd9e66dc6bb88056a5311791727047cb411cf6e3e2219faf8671a8b277ff842','d3b9236fefa49e19df89542a9f5a7b8f9e30cad1c8fc81f8fd720b88820ded98');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',13,1795179622400,'prepared',1,12,'{"missing":[],"place":"supplies:1","repeated":false}','d3b9236fefa49e19df89542a9f5a7b8f9e30cad1c8fc81f8fd720b88820ded98','7fc35f29395cc5ff9426969d7ddd609bee18adf59292f7e09327a92566b62afd');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',14,1795179622400,'arrived',1,12,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"paint"}','7fc35f29395cc5ff9426969d7ddd609bee18adf59292f7e09327a92566b62afd','1c312f9b07cda482ad208d789851e09fcfd7c8e5ef377b8a64c313dd0bcbc137');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',15,1795179631700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179631700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179631300,"words":""}','1c312f9b07cda482ad208d789851e09fcfd7c8e5ef377b8a64c313dd0bcbc137','aebc8435c638f7579c8171b83e17f67507617402684b5c693eae49d7a3e1ea56');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',16,1795179631700,'step_done',1,15,'{"repeated":false,"step":"paint"}','aebc8435c638f7579c8171b83e17f67507617402684b5c693eae49d7a3e1ea56','307628b3b8e085994cc802354b79eeea3a763074b0046fba76eaa0c97d5cf09a');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',17,1795179631700,'timer_started',1,15,'{"ends_ms":1795180231700,"repeated":false,"seconds":600,"timer":"open","visit":0}','307628b3b8e085994cc802354b79eeea3a763074b0046fba76eaa0c97d5cf09a','8cefcf3e17a770a223e3bd89ae47ccd91fda2fe10316ec2f4618719f4b52c62b');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',18,1795179631700,'arrived',1,15,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"cap-on"}','8cefcf3e17a770a223e3bd89ae47ccd91fda2fe10316ec2f4618719f4b52c62b','f30b59bfff83f86ae310625d4137e5b65b637d714c0d22afa387f2ebb62c5fd4');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',19,1795179640200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179640200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179639800,"words":""}','f30b59bfff83f86ae310625d4137e5b65b637d714c0d22afa387f2ebb62c5fd4','2c870c0946609b57c6644481842a928bb55356131b1671e68649c9077cdb8dd7');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',20,1795179640200,'step_done',1,19,'{"repeated":false,"step":"cap-on"}','2c870c0946609b57c6644481842a928bb55356131b1671e68649c9077cdb8dd7','56c222eaee4a3a090973525561fc94b1b78e6aa816b607f56144ce88898c0e0c');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',21,1795179640200,'timer_stopped',1,19,'{"left_out":[],"timer":"open"}','56c222eaee4a3a090973525561fc94b1b78e6aa816b607f56144ce88898c0e0c','b484e14ef752e5efd103af16675ac22a6227628fabd2198e21fc2778328003ee');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',22,1795179640200,'arrived',1,19,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"set"}','b484e14ef752e5efd103af16675ac22a6227628fabd2198e21fc2778328003ee','8c00f1e60a81c031ea067c110af372bae10ab17cb9e096ed56004ba74b8d13f6');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',23,1795179646700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179646700,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1795179645500,"words":""}','8c00f1e60a81c031ea067c110af372bae10ab17cb9e096ed56004ba74b8d13f6','0e5eca646a860d89f467de4b1311ec2134a6d3a4f0c98f8f1534c31ceeb9b641');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',24,1795179646700,'asked',1,23,'{"at_ms":1795179646700,"needs_reason":false,"question":{"heard_ms":1795179640200,"what":"take_back"},"reason":""}','0e5eca646a860d89f467de4b1311ec2134a6d3a4f0c98f8f1534c31ceeb9b641','e0d3f217f418d2f4a746f73c1c808b6434626f1b0910be99780c0541b8e786da');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',25,1795179652800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179652800,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795179652400,"words":""}','e0d3f217f418d2f4a746f73c1c808b6434626f1b0910be99780c0541b8e786da','532bbaf723322089f2376cb9b9662369a955ab0385d66a22522218df39035b26');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',26,1795179652800,'granted',1,25,'{"what":"take_back"}','532bbaf723322089f2376cb9b9662369a955ab0385d66a22522218df39035b26','e7b5794d5760f28b060015a03656895f79ffaef23b71099b05cf3236bdf4bc8c');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',27,1795179652800,'taken_back',1,25,'{"by":"","confirmed_by":"","heard_ms":1795179640200,"place":"cap-on"}','e7b5794d5760f28b060015a03656895f79ffaef23b71099b05cf3236bdf4bc8c','46d6ce45bcf576cb083901d99dd35c21b7173bb17a4f503ec1cc4dda6b53b168');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',28,1795179652800,'timer_as_before',1,25,'{"timer":"open","was":{"doubted":false,"ends_ms":1795180231700,"over":false,"stopped":false,"visit":0,"warned":false}}','46d6ce45bcf576cb083901d99dd35c21b7173bb17a4f503ec1cc4dda6b53b168','e0ae27494894ee9837b29868e996d9e3353a49a65fbcd4145f84aa9f8afcf66b');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',29,1795179652800,'reopened',1,25,'{"place":"cap-on"}','e0ae27494894ee9837b29868e996d9e3353a49a65fbcd4145f84aa9f8afcf66b','67b4cd940442232e31012c45ecb79138bd0ead99e9abf1dace6aebd3bb4f48e0');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',30,1795179652800,'arrived',1,25,'{"bolt":null,"bolts_anew":false,"hazards_anew":true,"place":"cap-on"}','67b4cd940442232e31012c45ecb79138bd0ead99e9abf1dace6aebd3bb4f48e0','c605e1c43b69fe479d81ef3e10ef36244ac9a0a7b59313ece2dfe6485b692f7a');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',31,1795179659700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179659700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179659300,"words":""}','c605e1c43b69fe479d81ef3e10ef36244ac9a0a7b59313ece2dfe6485b692f7a','4ea0884036b4b410b3a37670f16ac1eb85833bff05591277ec30f08301d146d3');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',32,1795179659700,'step_done',1,31,'{"repeated":false,"step":"cap-on"}','4ea0884036b4b410b3a37670f16ac1eb85833bff05591277ec30f08301d146d3','fb3d435900403cc9d83e89afb179e89f8918e749d512c825d5c73179d74e72c0');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',33,1795179659700,'timer_stopped',1,31,'{"left_out":[],"timer":"open"}','fb3d435900403cc9d83e89afb179e89f8918e749d512c825d5c73179d74e72c0','bc1480280372dca3232ffa787f6519d1138f6425bc1121ebeaf0ab80a1733e52');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',34,1795179659700,'arrived',1,31,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"set"}','bc1480280372dca3232ffa787f6519d1138f6425bc1121ebeaf0ab80a1733e52','d74e5f30bed82ea2d394c3878446c5adff6dc030975853cf6a8968d444589b12');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',35,1795179665800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179665800,"hazard":null,"intent":"start_timer","number":null,"source":"voice","started_ms":1795179665000,"words":""}','d74e5f30bed82ea2d394c3878446c5adff6dc030975853cf6a8968d444589b12','9a3b071ac7496ac9579974c87b917d7aef636a036ba5846e9275c6c64c3bc3b2');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',36,1795179665800,'timer_started',1,35,'{"ends_ms":1795181465800,"repeated":false,"seconds":1800,"timer":"cure","visit":9}','9a3b071ac7496ac9579974c87b917d7aef636a036ba5846e9275c6c64c3bc3b2','26f0ceac5f387f78b351fef5529da5d8cf51505748789181199f4d4208e19736');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',37,1795179669500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179669500,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1795179668300,"words":""}','26f0ceac5f387f78b351fef5529da5d8cf51505748789181199f4d4208e19736','307e040db6c549cf8fc7fa2d9036f79f7f3528286779a66b330fa0ae3eb583ad');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',38,1795179669500,'asked',1,37,'{"at_ms":1795179669500,"needs_reason":false,"question":{"heard_ms":1795179665800,"what":"take_back"},"reason":""}','307e040db6c549cf8fc7fa2d9036f79f7f3528286779a66b330fa0ae3eb583ad','f2d26ddd2bf22d3f632fd185d4e4cf36bec17e0bf1e246571435b28c5697bd65');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',39,1795179673600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179673600,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795179673200,"words":""}','f2d26ddd2bf22d3f632fd185d4e4cf36bec17e0bf1e246571435b28c5697bd65','4a63aea7a1dd5c1f4c59eb16449362d2a3a188fa66307845e19fb01dd5ad011c');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',40,1795179673600,'granted',1,39,'{"what":"take_back"}','4a63aea7a1dd5c1f4c59eb16449362d2a3a188fa66307845e19fb01dd5ad011c','2c7a47e6f0226850b73c1ea980fff95500920804b059e9d31213cb8f792361ae');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',41,1795179673600,'taken_back',1,39,'{"by":"","confirmed_by":"","heard_ms":1795179665800,"place":"set"}','2c7a47e6f0226850b73c1ea980fff95500920804b059e9d31213cb8f792361ae','4ed21ae8d1eec727cb8cb09981017873da20e7fbfb8ada2caa21d882fb620b38');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',42,1795179673600,'timer_as_before',1,39,'{"timer":"cure","was":null}','4ed21ae8d1eec727cb8cb09981017873da20e7fbfb8ada2caa21d882fb620b38','ee4172025c9602fd5531e1d128625661cae34bc4f63b9e7e7c8dd3cf6694d9ec');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',43,1795179673600,'arrived',1,39,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"set"}','ee4172025c9602fd5531e1d128625661cae34bc4f63b9e7e7c8dd3cf6694d9ec','9bfac53ed66116f92ea0cc371e0907816a77bbe961c8bd6e8a1095f7a1037366');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',44,1795179680100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795179680100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795179679700,"words":""}','9bfac53ed66116f92ea0cc371e0907816a77bbe961c8bd6e8a1095f7a1037366','702b453bc02b6a84b651a49773714c57651db0fe8868dd46172df2e3d6952d83');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',45,1795179680100,'timer_started',1,44,'{"ends_ms":1795181480100,"repeated":false,"seconds":1800,"timer":"cure","visit":10}','702b453bc02b6a84b651a49773714c57651db0fe8868dd46172df2e3d6952d83','df7f1b75236e12f5da7af9001604921ed8e76ce07f2b718ccd1815e4b7a9a240');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',46,1795180281000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795180281000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795180280600,"words":""}','df7f1b75236e12f5da7af9001604921ed8e76ce07f2b718ccd1815e4b7a9a240','9075e5309c2c85f405104de7553b0bf2afd9173f34e4b9ca110c89ea8d6ea8b3');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',47,1795180281000,'asked',1,46,'{"at_ms":1795180281000,"needs_reason":true,"question":{"seconds_left":1200,"step":"set","timer":"cure","what":"leave_wait"},"reason":""}','9075e5309c2c85f405104de7553b0bf2afd9173f34e4b9ca110c89ea8d6ea8b3','e3e6f339ee506540290753f5d0a8a3a05bb45d1f6203a274fb21579c77275c8f');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',48,1795180285500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795180285500,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795180285100,"words":""}','e3e6f339ee506540290753f5d0a8a3a05bb45d1f6203a274fb21579c77275c8f','2885b64546d722d8f4369ce7105ed0e1c113cdce8d84075d3adffca32ebd1b95');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',49,1795180285500,'dictation_begun',1,48,'{"at_ms":1795180285500,"question":{"seconds_left":1200,"step":"set","timer":"cure","what":"leave_wait"},"what":"reason"}','2885b64546d722d8f4369ce7105ed0e1c113cdce8d84075d3adffca32ebd1b95','cc752d056f08cab928d13e8213cb9747b44841e12b80878b96964fc584d216fa');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',50,1795180290000,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1795180290000,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1795180288400,"words":{"sealed":"2decb0f1c895cae0d66f9a50453c8d48728bb948e0676e1dc4e14cb61266254b"}}','cc752d056f08cab928d13e8213cb9747b44841e12b80878b96964fc584d216fa','37c8140dbfe9a471641d4ff9706a9568d27b9cf855c79512ff0893d3fec2704b');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',51,1795180290000,'words_taken',1,50,'{"at_ms":1795180290000,"is_cut":false,"text":{"sealed":"85409a15cbc2ccae1a404a24bb8e423d2cff7ea6dc4b8d456846c749fde1a4e1"}}','37c8140dbfe9a471641d4ff9706a9568d27b9cf855c79512ff0893d3fec2704b','0344b8761eee29018748b5aa6e51e8a71eef9b42a11b1ed187b378d1ab1171cb');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',52,1795180291300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795180291300,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1795180290500,"words":""}','0344b8761eee29018748b5aa6e51e8a71eef9b42a11b1ed187b378d1ab1171cb','2f7d34142b7e84f96795d28ae23a7be4109ff8ec8eccb144c6b0c88085d05bd4');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',53,1795180291300,'asked',1,52,'{"at_ms":1795180291300,"needs_reason":false,"question":{"seconds_left":1200,"step":"set","timer":"cure","what":"leave_wait"},"reason":{"sealed":"81936c6be0abbabbd161ce063c6135ba7f562300fb474ee26dc7ea4735b3f8c8"}}','2f7d34142b7e84f96795d28ae23a7be4109ff8ec8eccb144c6b0c88085d05bd4','c253612554dd5447094c4718970454d4e4d7050d71105a5012a16090f3931ddb');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',54,1795180297000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795180297000,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795180296600,"words":""}','c253612554dd5447094c4718970454d4e4d7050d71105a5012a16090f3931ddb','6e4f290b61f93d6505c0d1ea8bd568ef1ecc02cde210cdc72925ea56d9a12bdf');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',55,1795180297000,'granted',1,54,'{"what":"leave_wait"}','6e4f290b61f93d6505c0d1ea8bd568ef1ecc02cde210cdc72925ea56d9a12bdf','47fc9e5baf633b529168cd16e36ce0d6b254909ffc81ef20dc5060389ddbc074');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',56,1795180297000,'deviation',1,54,'{"bolts":[],"count":null,"group":"","reading":null,"reason":{"sealed":"e3c645cca3077190517ee2b60ffd08186ffa7759e8627b66827dd40dfff664ef"},"run":null,"seconds_left":1184,"stage":null,"step":"set","things":[],"timer":"cure","turn":null,"what":"wait","yes":null}','47fc9e5baf633b529168cd16e36ce0d6b254909ffc81ef20dc5060389ddbc074','e38251f8d8d145f0d7441cb3dcb13991a358b025859920694c33a1d15cab753c');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',57,1795180297000,'step_done',1,54,'{"repeated":false,"step":"set"}','e38251f8d8d145f0d7441cb3dcb13991a358b025859920694c33a1d15cab753c','93a64a4496835dd59b9374c6105f8634c862708666fb9e769e298ac893eb1ac8');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',58,1795180297000,'arrived',1,54,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"brush-clean"}','93a64a4496835dd59b9374c6105f8634c862708666fb9e769e298ac893eb1ac8','13e52d49bd755a9d8b596649d1342e777bcb67dbfe3915094293b2eb77c42d17');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',59,1795180303900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795180303900,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1795180302700,"words":""}','13e52d49bd755a9d8b596649d1342e777bcb67dbfe3915094293b2eb77c42d17','0d852fc17dedd9df6f6f747c2e3ea97328b4d748ecdcd753ebda8b6b84f12f50');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',60,1795180303900,'asked',1,59,'{"at_ms":1795180303900,"needs_reason":false,"question":{"heard_ms":1795180297000,"what":"take_back"},"reason":""}','0d852fc17dedd9df6f6f747c2e3ea97328b4d748ecdcd753ebda8b6b84f12f50','ad4601ab232cea04e02eabb586c6b14093058ab403c4a11b624020dc366b734e');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',61,1795180308800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795180308800,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795180308400,"words":""}','ad4601ab232cea04e02eabb586c6b14093058ab403c4a11b624020dc366b734e','9d6e6e58b3332ca60d403398540b997ce58e0517f3df796938534f9597f89cb9');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',62,1795180308800,'granted',1,61,'{"what":"take_back"}','9d6e6e58b3332ca60d403398540b997ce58e0517f3df796938534f9597f89cb9','4d59819ebe5106822e533d400dad743ed5ceaea39913af468b22f6edb93dbf85');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',63,1795180308800,'taken_back',1,61,'{"by":"","confirmed_by":"","heard_ms":1795180297000,"place":"set"}','4d59819ebe5106822e533d400dad743ed5ceaea39913af468b22f6edb93dbf85','9a66afc2b4fa5ef1d0d1f22b93e7156982946bfd98b21e50fa0f5755ae0634fc');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',64,1795180308800,'reopened',1,61,'{"place":"set"}','9a66afc2b4fa5ef1d0d1f22b93e7156982946bfd98b21e50fa0f5755ae0634fc','b0f9c2d223425ce3c7d4ccef5777ce112e433ecbbb728a95720a09467c6dd993');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',65,1795180308800,'deviation_withdrawn',1,61,'{"step":"set","things":[],"timer":"","told":0,"what":"wait"}','b0f9c2d223425ce3c7d4ccef5777ce112e433ecbbb728a95720a09467c6dd993','710106ae278d479d8e1174adeda6fb5ee542b08bf984070937cd49174ed020e5');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',66,1795180308800,'arrived',1,61,'{"bolt":null,"bolts_anew":false,"hazards_anew":true,"place":"set"}','710106ae278d479d8e1174adeda6fb5ee542b08bf984070937cd49174ed020e5','7bdffd4b2adf900257234ba8de49841727b0a883a0c7984267d8dc6a5c28d5a7');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',67,1795181480100,'clock',1,0,'{"due_ms":1795181480100}','7bdffd4b2adf900257234ba8de49841727b0a883a0c7984267d8dc6a5c28d5a7','b23fb27d62e12f1c0eefc4c977c007ea309e8308108a50ed9641178a6c0e2b8d');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',68,1795181480100,'timer_ended',1,67,'{"timer":"cure"}','b23fb27d62e12f1c0eefc4c977c007ea309e8308108a50ed9641178a6c0e2b8d','8c3b377834d405f20f329968405f2a4827b550e9f62a654620d97248729a573a');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',69,1795181509700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795181509700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795181509300,"words":""}','8c3b377834d405f20f329968405f2a4827b550e9f62a654620d97248729a573a','bb3bddc6c05542cda9d134c42fde5e64049368573f73ccad262dd823dee934e6');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',70,1795181509700,'step_done',1,69,'{"repeated":false,"step":"set"}','bb3bddc6c05542cda9d134c42fde5e64049368573f73ccad262dd823dee934e6','143ce62e16131a971ef6813be4de98d33948821c901ed7950e92c2f0be9f6c5b');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',71,1795181509700,'arrived',1,69,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"brush-clean"}','143ce62e16131a971ef6813be4de98d33948821c901ed7950e92c2f0be9f6c5b','0afa2036fefed952898374bc79e9a3a1a160a603adcb80a79a0476662717fd84');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',72,1795181514200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795181514200,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1795181513800,"words":""}','0afa2036fefed952898374bc79e9a3a1a160a603adcb80a79a0476662717fd84','5c2b0b5acf9e2c3c9d7d0d674fa04845a77587310c91ef42638c010d89c30da4');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',73,1795181514200,'check_answered',1,72,'{"expected":true,"repeated":false,"step":"brush-clean","yes":true}','5c2b0b5acf9e2c3c9d7d0d674fa04845a77587310c91ef42638c010d89c30da4','3895e8afe648d62165271edca078c6bc70bd7b29eaa6c0a76a30ddd81546883a');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',74,1795181514200,'step_done',1,72,'{"repeated":false,"step":"brush-clean"}','3895e8afe648d62165271edca078c6bc70bd7b29eaa6c0a76a30ddd81546883a','487897fd86489fd88755d681e0c31403d36e46611decdde6586688b259ec357e');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',75,1795181514200,'arrived',1,72,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end"}','487897fd86489fd88755d681e0c31403d36e46611decdde6586688b259ec357e','4f2c316760322f07a0419faa6c7b23ed7cfe408e2caae491b4e73879a902c78c');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',76,1795181519100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795181519100,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795181518300,"words":""}','4f2c316760322f07a0419faa6c7b23ed7cfe408e2caae491b4e73879a902c78c','be16481f87c08abd3b6d3c79fc12a99ba1b4e0f0be62237630d867c9f2297aec');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',77,1795181519100,'asked',1,76,'{"at_ms":1795181519100,"needs_reason":false,"question":{"what":"finish"},"reason":""}','be16481f87c08abd3b6d3c79fc12a99ba1b4e0f0be62237630d867c9f2297aec','40951d4c39e48e2db1afc46b3bfe1540384f327efc77e0055d9175ceafadde8e');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',78,1795181522000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795181522000,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795181521600,"words":""}','40951d4c39e48e2db1afc46b3bfe1540384f327efc77e0055d9175ceafadde8e','f862f18f77eb68049c4159412e6fcccfb760cd27911a314eb9a82ba1f3c599a8');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',79,1795181522000,'granted',1,78,'{"what":"finish"}','f862f18f77eb68049c4159412e6fcccfb760cd27911a314eb9a82ba1f3c599a8','f181768198d5599fcd31b9a07815607132058583bacc65ea2a4164ce9850eedf');
INSERT INTO "entry" VALUES('bay1-2026-11-20-1',80,1795181522000,'closed',1,78,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":[],"open_values":[],"reason":""}','f181768198d5599fcd31b9a07815607132058583bacc65ea2a4164ce9850eedf','2832f006844fbf6f4e57de8a2fdc4cdf402eb8e475def272bbad5a911c1616c3');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-20-1',80,'2832f006844fbf6f4e57de8a2fdc4cdf402eb8e475def272bbad5a911c1616c3');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-20-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-20-1',1,'procedure_path','e9c04ff0835e0e92c305c3bf03b069d5','"/tmp/practice-bay-n727gfpg/cure.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-20-1',50,'words','6f7269955370fd56ee1bd9f223a29911','"it is warm here"');
INSERT INTO "personal" VALUES('bay1-2026-11-20-1',51,'text','7e99d01a5a8dde4cfd53189b61ae4fd8','"it is warm here"');
INSERT INTO "personal" VALUES('bay1-2026-11-20-1',53,'reason','a72c2ee741db29c15b4683706e1f6b74','"it is warm here"');
INSERT INTO "personal" VALUES('bay1-2026-11-20-1',56,'reason','dd25ee8061527c5e5ea9f690b96331df','"it is warm here"');
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
