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
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',1,1795852800000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":{"sealed":"2c06b7fb104d8635e9f3322ac6f763de0dfd83cfbc72c4ce27a0b200d40bd3db"},"customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"b8c1e5202a0946a6eb320184d7d95ba6611b9f6c6a8d50cf515d5cce9a292bdd"},"procedure_file":"cure.yaml","procedure_id":"practice-cure","procedure_path":{"sealed":"9f1cc598c1d93043deedf031afa348d9e8da7f20ccb66b49e5bbcdc63146ed60"},"procedure_revision":"1","procedure_sha256":"64a29dbf153c4304b881742ada31af8fed1baad8b5d52c827377359f9998ae98","procedure_yaml":"# All values are invented, for tests of the assistant only: not for use on any machine.\nprocedure:\n  id: practice-cure\n  title: Cap of the practice housing\n  revision: 1\n  source: Invented for these tests\n  machine: Practice housing on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The housing is clamped.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: brush, name: brush}\n  supplies:\n    - {id: sealant, name: sealant}\n  spares: []\n  safety: []\ntimers:\n  - {id: open, name: open time, open: 10 min}\n  - {id: cure, name: cure, cure: 30 min}\ngroups: []\nchapters:\n  - chapter: Refit\n    steps:\n      - {id: paint, do: Put sealant on the face., supplies: [sealant], tools: [brush], starts: open}\n      - {id: cap-on, do: Put the cap on., before: open}\n      - {id: set, wait: Let it cure., timer: cure}\nclosing:\n  - {id: brush-clean, check: \"Is the brush clean?\", answer: \"yes\"}\n","program":"test","rehearsal":false,"start":null,"title":"Cap of the practice housing","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','1af836857f41c9346e0b52c89b3b441078426153f1191c4929fdd3e92257e3a8');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',2,1795852800000,'operators_named',1,1,'{"names":{"sealed":"1b95b5b3f5b7829daee1f6ad98ff03f7c09e6ee309f5cc8da81f9879d0203820"}}','1af836857f41c9346e0b52c89b3b441078426153f1191c4929fdd3e92257e3a8','b08add38e30e2a38a4ab33879a5382e1416efeaab9313b1a575e99b0fc860659');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',3,1795852800000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','b08add38e30e2a38a4ab33879a5382e1416efeaab9313b1a575e99b0fc860659','e01d36cdd8ff6316e248efa20620921df10f1445fcad1e177d41881396e5b516');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',4,1795852802000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852802000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795852801000,"words":""}','e01d36cdd8ff6316e248efa20620921df10f1445fcad1e177d41881396e5b516','8a78adfb0141dee93448b687d35682e793688424c82b659c9b324a3a47c26391');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',5,1795852802000,'prepared',1,4,'{"missing":[],"place":"conditions:1","repeated":false}','8a78adfb0141dee93448b687d35682e793688424c82b659c9b324a3a47c26391','71d97eeb2b24b499dae1fbc19ae24b1363e00f17af916ae75ba76b9e4375d34c');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',6,1795852802000,'arrived',1,4,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','71d97eeb2b24b499dae1fbc19ae24b1363e00f17af916ae75ba76b9e4375d34c','6cc565e22fffac3d67b80eba9e7dde268a1f763291e8d3598273e0f31a1d0051');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',7,1795852804000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852804000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795852803000,"words":""}','6cc565e22fffac3d67b80eba9e7dde268a1f763291e8d3598273e0f31a1d0051','8a6ba5837f495ccad64caba3b680e37e33bcdfb75132ea0bbee70774222473d8');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',8,1795852804000,'prepared',1,7,'{"missing":[],"place":"persons:1","repeated":false}','8a6ba5837f495ccad64caba3b680e37e33bcdfb75132ea0bbee70774222473d8','a6df86dc8c3211d2e8b5b1c35e19151ecf98e062c9a6be5eb463012153b33792');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',9,1795852804000,'arrived',1,7,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','a6df86dc8c3211d2e8b5b1c35e19151ecf98e062c9a6be5eb463012153b33792','cf57d2998fc5de33fdd0d00bf671eb029bd2e44b36f7585c0804c49d71f999c6');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',10,1795852806000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852806000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795852805000,"words":""}','cf57d2998fc5de33fdd0d00bf671eb029bd2e44b36f7585c0804c49d71f999c6','7897b4b562c6ec16a4e4cefc70f2c1eb78024f7a1d0cb4c59447a3bb3dfc1aed');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',11,1795852806000,'prepared',1,10,'{"missing":[],"place":"equipment:1","repeated":false}','7897b4b562c6ec16a4e4cefc70f2c1eb78024f7a1d0cb4c59447a3bb3dfc1aed','dff44b9a102fd01cb2c24a267c82df5297791a81654af8daad69cec3850f59c8');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',12,1795852806000,'arrived',1,10,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"supplies:1"}','dff44b9a102fd01cb2c24a267c82df5297791a81654af8daad69cec3850f59c8','4067d51ca065b27ea883293aa9595ec970799b15331b8ad95675da8474135d2b');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',13,1795852808000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852808000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795852807000,"words":""}','4067d51ca065b27ea883293aa9595ec970799b15331b8ad95675da8474135d2b','ebab8f9f47b41096540ba7a35804b6af1abf5a3df1f47e89bb9a86866192f33a');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',14,1795852808000,'prepared',1,13,'{"missing":[],"place":"supplies:1","repeated":false}','ebab8f9f47b41096540ba7a35804b6af1abf5a3df1f47e89bb9a86866192f33a','c428ac3c86356ef70f9ccffafd231658a9e426a577ca4e774484df9d9741aa44');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',15,1795852808000,'arrived',1,13,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"paint"}','c428ac3c86356ef70f9ccffafd231658a9e426a577ca4e774484df9d9741aa44','aa1cdfe2988c2bcf769b55839b8f06fe518ed815537e9d3c040e08a082ce7a62');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',16,1795852810000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852810000,"hazard":null,"intent":"next","number":null,"source":"pedal","started_ms":1795852809000,"words":""}','aa1cdfe2988c2bcf769b55839b8f06fe518ed815537e9d3c040e08a082ce7a62','48c2487ebd99ba84c0a1cc10d54eb31e3336475f64348b5b2cddb62b6865ff25');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',17,1795852810000,'step_done',1,16,'{"repeated":false,"step":"paint"}','48c2487ebd99ba84c0a1cc10d54eb31e3336475f64348b5b2cddb62b6865ff25','6e6ffc2ca163d7d8bdabe9dd5caf6dc487c919f659daba99b81b54b49595130b');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',18,1795852810000,'timer_started',1,16,'{"ends_ms":1795853410000,"repeated":false,"seconds":600,"timer":"open","visit":0}','6e6ffc2ca163d7d8bdabe9dd5caf6dc487c919f659daba99b81b54b49595130b','0ee581ab2fbccb8745c33136848a44cee6fdc6ed5daf1ecf9b1157fe0a061443');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',19,1795852810000,'arrived',1,16,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"cap-on"}','0ee581ab2fbccb8745c33136848a44cee6fdc6ed5daf1ecf9b1157fe0a061443','66fab1bbc69abfc2ee0a6ed2e71d164f555ddd8b6dc0223cdb3655f77bc3d7ae');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',20,1795852812000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852812000,"hazard":null,"intent":"next","number":null,"source":"pedal","started_ms":1795852811000,"words":""}','66fab1bbc69abfc2ee0a6ed2e71d164f555ddd8b6dc0223cdb3655f77bc3d7ae','e092221d91bd2b1b7b7ea95e86a60dc6295da4af533614dbf2e03fa757347b51');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',21,1795852812000,'step_done',1,20,'{"repeated":false,"step":"cap-on"}','e092221d91bd2b1b7b7ea95e86a60dc6295da4af533614dbf2e03fa757347b51','923f5346b9d9fd993920100d22ebc657b8660738344b87eeecf3778df38ff544');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',22,1795852812000,'timer_stopped',1,20,'{"left_out":[],"timer":"open"}','923f5346b9d9fd993920100d22ebc657b8660738344b87eeecf3778df38ff544','3eeaced1546c0cbf5e7d8eb2366a61296df8af57986046d28d0640aafa9c919a');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',23,1795852812000,'arrived',1,20,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"set"}','3eeaced1546c0cbf5e7d8eb2366a61296df8af57986046d28d0640aafa9c919a','178638a7b43b12b5a928bb0c93604f63b342b7c4470c4a568c696d215a50a34a');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',24,1795852814000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795852814000,"hazard":null,"intent":"start_timer","number":null,"source":"voice","started_ms":1795852813000,"words":""}','178638a7b43b12b5a928bb0c93604f63b342b7c4470c4a568c696d215a50a34a','83264057d6195555c9f40d5141cbd0727cbbbff4cc0d81dcd378c0622a454ba6');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',25,1795852814000,'timer_started',1,24,'{"ends_ms":1795854614000,"repeated":false,"seconds":1800,"timer":"cure","visit":7}','83264057d6195555c9f40d5141cbd0727cbbbff4cc0d81dcd378c0622a454ba6','dcb71eab3155d49bf0841130dd6f31c114d70fd1aa4c8fa2db2b5ae19d5ba47d');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',26,1795854614000,'clock',1,0,'{"due_ms":1795854614000}','dcb71eab3155d49bf0841130dd6f31c114d70fd1aa4c8fa2db2b5ae19d5ba47d','15e5db955f555a86876f4a2085fc5989575fd59842be8e9375d8c73889e3271a');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',27,1795854614000,'timer_ended',1,26,'{"timer":"cure"}','15e5db955f555a86876f4a2085fc5989575fd59842be8e9375d8c73889e3271a','7d3747a3dbc00904081edecaf52d7948abf8e50c7826f5b9b55436b9860f5c28');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',28,1795854616000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795854616000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795854615000,"words":""}','7d3747a3dbc00904081edecaf52d7948abf8e50c7826f5b9b55436b9860f5c28','bfa471c3dd0a70462958f8b2c35e6043c2946f6c71a39fa2f8094e4cdbeb7e3f');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',29,1795854616000,'step_done',1,28,'{"repeated":false,"step":"set"}','bfa471c3dd0a70462958f8b2c35e6043c2946f6c71a39fa2f8094e4cdbeb7e3f','66c51920b17aa9436f0fae080ad56bf259b41e7c76969e80210e0bf55686a485');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',30,1795854616000,'arrived',1,28,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"brush-clean"}','66c51920b17aa9436f0fae080ad56bf259b41e7c76969e80210e0bf55686a485','5eb3c5270b495613d632b47edaf080e8136a523f5f188e20f18b443061bd3ebc');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',31,1795854618000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795854618000,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1795854617000,"words":""}','5eb3c5270b495613d632b47edaf080e8136a523f5f188e20f18b443061bd3ebc','83ec0b45c5a3e8e6dbf0bc2a3fe02bfad59fb4be19d34444c8cb38eb7f45c03d');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',32,1795854618000,'check_answered',1,31,'{"expected":true,"repeated":false,"step":"brush-clean","yes":true}','83ec0b45c5a3e8e6dbf0bc2a3fe02bfad59fb4be19d34444c8cb38eb7f45c03d','f2d30ac199fb73db532af7b9f1fc6290fbba19f5f59e0e54f8958bd833892b2b');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',33,1795854618000,'step_done',1,31,'{"repeated":false,"step":"brush-clean"}','f2d30ac199fb73db532af7b9f1fc6290fbba19f5f59e0e54f8958bd833892b2b','7d7ab48a74ed21776f9944f4819ffd9497e3ce4e8a14ab94e7eb83536b71e8d8');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',34,1795854618000,'arrived',1,31,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end"}','7d7ab48a74ed21776f9944f4819ffd9497e3ce4e8a14ab94e7eb83536b71e8d8','02be904cdb70b8395ed62b1aad9b59bfc6808a6213679890c34a471e1fe313d1');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',35,1795854620000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795854620000,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795854619000,"words":""}','02be904cdb70b8395ed62b1aad9b59bfc6808a6213679890c34a471e1fe313d1','93bc35f8ef1d3d1089f9a7a2f92874fdbf03b570d9da12683a05ce0e448dcf36');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',36,1795854620000,'asked',1,35,'{"at_ms":1795854620000,"needs_reason":false,"question":{"what":"finish"},"reason":""}','93bc35f8ef1d3d1089f9a7a2f92874fdbf03b570d9da12683a05ce0e448dcf36','11012409bf479b11f6d13604c9b65f62d29dce4681f91425ddc3177c041b4746');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',37,1795854622000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795854622000,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795854621000,"words":""}','11012409bf479b11f6d13604c9b65f62d29dce4681f91425ddc3177c041b4746','4e137bfb9060d53c9eca3d04535e42000afda554a01290ca2c1d54e5a1b8fc75');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',38,1795854622000,'granted',1,37,'{"what":"finish"}','4e137bfb9060d53c9eca3d04535e42000afda554a01290ca2c1d54e5a1b8fc75','a1d43a3f5cec4c9c2d5e0812277c67d88e75d5759b2937f13a8c4ebc9d8eedfa');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',39,1795854622000,'closed',1,37,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":[],"open_values":[],"reason":""}','a1d43a3f5cec4c9c2d5e0812277c67d88e75d5759b2937f13a8c4ebc9d8eedfa','71fd887bd3c672a5e2120f250d603e40b31ecdcc23adb6d266456d199c7e7da1');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',40,1795854622000,'headset_chosen',1,0,'{"headset":"phone"}','71fd887bd3c672a5e2120f250d603e40b31ecdcc23adb6d266456d199c7e7da1','6bdff8a9bf72a444ee221ca8d5a295985d6967bc2646aaf2a909ab1850f13ce0');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',41,1795854622000,'device_lost',1,0,'{"device":"phone"}','6bdff8a9bf72a444ee221ca8d5a295985d6967bc2646aaf2a909ab1850f13ce0','1f62f583da3060da3b9e70e03e4f6d7de265a7f727ce4c5633b5c4e86c6c5b77');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',42,1795854622000,'device_back',1,0,'{"device":"phone"}','1f62f583da3060da3b9e70e03e4f6d7de265a7f727ce4c5633b5c4e86c6c5b77','c21cc877f0a4d7bcc173ec93c15cdae01373c61a96f8db587b4239eb345714c5');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',43,1795854622000,'headset_chosen',1,0,'{"headset":"other phone"}','c21cc877f0a4d7bcc173ec93c15cdae01373c61a96f8db587b4239eb345714c5','17c2d98b9ba12426ad5f08f67ec29e67d158761a2fa5e61e8f76a16d1d2bf837');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',44,1795854622000,'headset_chosen',1,0,'{"headset":"bay"}','17c2d98b9ba12426ad5f08f67ec29e67d158761a2fa5e61e8f76a16d1d2bf837','6e14e19c85c95a64886bbbc035bf2b9e0446ee37eaa4b0689b79d3b3484e5352');
INSERT INTO "entry" VALUES('bay1-2026-11-28-1',45,1795854622000,'device_lost',1,0,'{"device":"phone"}','6e14e19c85c95a64886bbbc035bf2b9e0446ee37eaa4b0689b79d3b3484e5352','1360496d58158b09234ee8eefe773b216a81a350e0016f84eade0e5bc4f731e8');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-28-1',45,'1360496d58158b09234ee8eefe773b216a81a350e0016f84eade0e5bc4f731e8');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-28-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-28-1',1,'asset','752dd8cdd03b566274e77392f2f265bf','"Housing 12"');
INSERT INTO "personal" VALUES('bay1-2026-11-28-1',1,'operator','2bab0294c8a44efa4fce16d2e36e4fda','"D. Moss"');
INSERT INTO "personal" VALUES('bay1-2026-11-28-1',1,'procedure_path','d785275582271839d2fced2540158b8e','"/home/moss/cure.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-28-1',2,'names','050ae4a829724a84e0dc9a7b3de78dbb','"D. Moss"');
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
