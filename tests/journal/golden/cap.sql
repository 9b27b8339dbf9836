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
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',1,1795075200000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":{"sealed":"41f4d51bdf1825a42df319595bfdbca7b8ef90399e9b9fd815cd547789e64489"},"customer":{"sealed":"cf8dbf261bcb6a3b28c83e1fa8ce210dd917c8bcb6bce9250d611c41f6056380"},"keep_audio":true,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"77e206aedf5d25c6b8f997bcb86e099478dc4b6538f2423fa3a8c371123b9ed8"},"procedure_file":"cure.yaml","procedure_id":"practice-cure","procedure_path":{"sealed":"a43c2fa3905d1d0048d3ad5735d7160c84585f9934737204c0b2e976775bcd34"},"procedure_revision":"1","procedure_sha256":"64a29dbf153c4304b881742ada31af8fed1baad8b5d52c827377359f9998ae98","procedure_yaml":"# All values are invented, for tests of the assistant only: not for use on any machine.\nprocedure:\n  id: practice-cure\n  title: Cap of the practice housing\n  revision: 1\n  source: Invented for these tests\n  machine: Practice housing on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The housing is clamped.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: brush, name: brush}\n  supplies:\n    - {id: sealant, name: sealant}\n  spares: []\n  safety: []\ntimers:\n  - {id: open, name: open time, open: 10 min}\n  - {id: cure, name: cure, cure: 30 min}\ngroups: []\nchapters:\n  - chapter: Refit\n    steps:\n      - {id: paint, do: Put sealant on the face., supplies: [sealant], tools: [brush], starts: open}\n      - {id: cap-on, do: Put the cap on., before: open}\n      - {id: set, wait: Let it cure., timer: cure}\nclosing:\n  - {id: brush-clean, check: \"Is the brush clean?\", answer: \"yes\"}\n","program":"test","rehearsal":false,"start":{"boot":"8c1f03aa","boot_ms":5000000,"wall_ms":1795075200000},"title":"Cap of the practice housing","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','064513cb6434dccd685b7c26c414b6cdd949e3e43cd5a6ceb7c59ce353f18ced');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',2,1795075200000,'operators_named',1,1,'{"names":{"sealed":"d9f4afe37f4556a5470cc01a4d1761976b0ebc7ad815d47444f77214c0e63f7f"}}','064513cb6434dccd685b7c26c414b6cdd949e3e43cd5a6ceb7c59ce353f18ced','05c828ab2227668adf5fc96cedd742961232d909614b9d1062c1a15938fc85da');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',3,1795075200000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','05c828ab2227668adf5fc96cedd742961232d909614b9d1062c1a15938fc85da','a1ebbe5cc2a792a7e97f0ab0474a0783810182f937910bf6dad446650414d478');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',4,1795075202000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075202000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795075201000,"words":""}','a1ebbe5cc2a792a7e97f0ab0474a0783810182f937910bf6dad446650414d478','5ded6e027c6d7ce85cc296d32212a0c40faa587e67ff86808691b91b907d4ed8');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',5,1795075202000,'prepared',1,4,'{"missing":[],"place":"conditions:1","repeated":false}','5ded6e027c6d7ce85cc296d32212a0c40faa587e67ff86808691b91b907d4ed8','dcda713f3be882471fbfd8b54de74b5aed4c9acb65f5ceb64da34a678e3466f3');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',6,1795075202000,'arrived',1,4,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','dcda713f3be882471fbfd8b54de74b5aed4c9acb65f5ceb64da34a678e3466f3','d2b05c4ebb040ae08bdc684d624b56077b79efb7208a79d645c6cb11587838b8');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',7,1795075204000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075204000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795075203000,"words":""}','d2b05c4ebb040ae08bdc684d624b56077b79efb7208a79d645c6cb11587838b8','244d46ca9bc1b8dd0f97cb94ee15dc59c6d68cd91a877a94fefc49f5b27e93b4');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',8,1795075204000,'prepared',1,7,'{"missing":[],"place":"persons:1","repeated":false}','244d46ca9bc1b8dd0f97cb94ee15dc59c6d68cd91a877a94fefc49f5b27e93b4','9be02ac5f24981e6f1c1bd42abe91b4e7e442f37c3d2fc171545967b8660c2b6');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',9,1795075204000,'arrived',1,7,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','9be02ac5f24981e6f1c1bd42abe91b4e7e442f37c3d2fc171545967b8660c2b6','048ee6bb61de1f80414626f05ab7d6e87674bb2947e17a0a1e357bc9437aa498');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',10,1795075206000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075206000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795075205000,"words":""}','048ee6bb61de1f80414626f05ab7d6e87674bb2947e17a0a1e357bc9437aa498','4c45ec459fee9a9e83563ce8755f9632d40fa4d0a2a0a6541cf2c3b8836b4311');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',11,1795075206000,'prepared',1,10,'{"missing":[],"place":"equipment:1","repeated":false}','4c45ec459fee9a9e83563ce8755f9632d40fa4d0a2a0a6541cf2c3b8836b4311','d6db75d8bf7b1fb51287d985b1dfbaf0a4f50599e30f4db3ad90cdcbed028962');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',12,1795075206000,'arrived',1,10,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"supplies:1"}','d6db75d8bf7b1fb51287d985b1dfbaf0a4f50599e30f4db3ad90cdcbed028962','b3cade43be10440c10f9a79933dc1790ef3787d6079cfcf6c3ac9d3d4fe869ad');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',13,1795075208000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075208000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795075207000,"words":""}','b3cade43be10440c10f9a79933dc1790ef3787d6079cfcf6c3ac9d3d4fe869ad','286942123461d61802bbbdcc0e37624baa2ada604871032221f6699fd997ff11');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',14,1795075208000,'prepared',1,13,'{"missing":[],"place":"supplies:1","repeated":false}','286942123461d61802bbbdcc0e37624baa2ada604871032221f6699fd997ff11','f8279726092ccb4c63cc6490955daac52e6cb4a62f5147f33b79c0495b6f643a');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',15,1795075208000,'arrived',1,13,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"paint"}','f8279726092ccb4c63cc6490955daac52e6cb4a62f5147f33b79c0495b6f643a','8066ac8812d3b1a6d7ea1e619479795771b933ad8287b98f00fbf202a5210d80');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',16,1795075210000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075210000,"hazard":null,"intent":"next","number":null,"source":"pedal","started_ms":1795075209000,"words":""}','8066ac8812d3b1a6d7ea1e619479795771b933ad8287b98f00fbf202a5210d80','c36f701e99759565e0265f2df94ff49beb9828df64d1328ceb7d064878ca8cce');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',17,1795075210000,'step_done',1,16,'{"repeated":false,"step":"paint"}','c36f701e99759565e0265f2df94ff49beb9828df64d1328ceb7d064878ca8cce','832818383f35db2a2affcff277d02ee9b6a4ca8b3a5ad516a29cf8a25d4fb359');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',18,1795075210000,'timer_started',1,16,'{"ends_ms":1795075810000,"repeated":false,"seconds":600,"timer":"open","visit":0}','832818383f35db2a2affcff277d02ee9b6a4ca8b3a5ad516a29cf8a25d4fb359','2eb30382aa6b255a3de98b6b4ac12788346b6914bb453745aae7166308efcf31');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',19,1795075210000,'arrived',1,16,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"cap-on"}','2eb30382aa6b255a3de98b6b4ac12788346b6914bb453745aae7166308efcf31','f62bbda07baf7c7069a9f7a5c7767470fd03c9b61ca01ca35b82405317743f52');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',20,1795075212000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075212000,"hazard":null,"intent":"next","number":null,"source":"pedal","started_ms":1795075211000,"words":""}','f62bbda07baf7c7069a9f7a5c7767470fd03c9b61ca01ca35b82405317743f52','95a6d0e2077ac1fc97f16de34c7b9dc4cf8737461fbdc47e833eba5d23912123');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',21,1795075212000,'step_done',1,20,'{"repeated":false,"step":"cap-on"}','95a6d0e2077ac1fc97f16de34c7b9dc4cf8737461fbdc47e833eba5d23912123','92a4d4721c0fc7dd28eb6fa18d9acc2b0f16f23070829bf25e0e8586939d2aeb');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',22,1795075212000,'timer_stopped',1,20,'{"left_out":[],"timer":"open"}','92a4d4721c0fc7dd28eb6fa18d9acc2b0f16f23070829bf25e0e8586939d2aeb','c30624b904e31e5855e7e8e841e168c1c7345ad022ef13f4454d37a9dae43e9c');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',23,1795075212000,'arrived',1,20,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"set"}','c30624b904e31e5855e7e8e841e168c1c7345ad022ef13f4454d37a9dae43e9c','b1608ae66d8ce2ee5de7782821b677bda76f2312ea90ee5351bf6feb0d94ab8f');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',24,1795075214000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795075214000,"hazard":null,"intent":"start_timer","number":null,"source":"voice","started_ms":1795075213000,"words":""}','b1608ae66d8ce2ee5de7782821b677bda76f2312ea90ee5351bf6feb0d94ab8f','6209e43c7b43c433d2e4fa7639ca48fea3e91f5c45fb7797288b793b0bf850e0');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',25,1795075214000,'timer_started',1,24,'{"ends_ms":1795077014000,"repeated":false,"seconds":1800,"timer":"cure","visit":7}','6209e43c7b43c433d2e4fa7639ca48fea3e91f5c45fb7797288b793b0bf850e0','1dd4058e6e9f06139de3db653d95144c7d3ba1c137ad79c4d467a835cc5ab9e6');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',26,1795077014000,'clock',1,0,'{"due_ms":1795077014000}','1dd4058e6e9f06139de3db653d95144c7d3ba1c137ad79c4d467a835cc5ab9e6','8c81c1f44cd9083d0e3f3dd3ed2a3e0a4594d0bbc4ecd4163319695d5189a50c');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',27,1795077014000,'timer_ended',1,26,'{"timer":"cure"}','8c81c1f44cd9083d0e3f3dd3ed2a3e0a4594d0bbc4ecd4163319695d5189a50c','7bfa9b24ba910fd1e893d2c0d157443de7a746e7d021f6d96b6c46a80606be3c');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',28,1795077016000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795077016000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795077015000,"words":""}','7bfa9b24ba910fd1e893d2c0d157443de7a746e7d021f6d96b6c46a80606be3c','537261c4e7f33704f6ea1cb92e945f7b7017c4e02f0e44b1db62ba8eac48228d');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',29,1795077016000,'step_done',1,28,'{"repeated":false,"step":"set"}','537261c4e7f33704f6ea1cb92e945f7b7017c4e02f0e44b1db62ba8eac48228d','f39caf8447f5d438fec240634287301e817b238d1c17d6ddea10cac9290ef325');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',30,1795077016000,'arrived',1,28,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"brush-clean"}','f39caf8447f5d438fec240634287301e817b238d1c17d6ddea10cac9290ef325','95f3debeb26a69bd158915cfc5055261e11de5b6be5b9aa0bc4140c2ee7e6014');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',31,1795077018000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795077018000,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1795077017000,"words":""}','95f3debeb26a69bd158915cfc5055261e11de5b6be5b9aa0bc4140c2ee7e6014','9394c7f2be270194dda50bd752d9380a1fcc80cf9083adb2a2a0aefbfd1ccabf');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',32,1795077018000,'check_answered',1,31,'{"expected":true,"repeated":false,"step":"brush-clean","yes":true}','9394c7f2be270194dda50bd752d9380a1fcc80cf9083adb2a2a0aefbfd1ccabf','44c4e5812741c942cf0779dc1f83aa5b4d2e8295ad8b963a082f3bceaf463388');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',33,1795077018000,'step_done',1,31,'{"repeated":false,"step":"brush-clean"}','44c4e5812741c942cf0779dc1f83aa5b4d2e8295ad8b963a082f3bceaf463388','1e213b2c0a273084c9f41103f5c848dd625e99db277bf15b329d3154aa31ca6f');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',34,1795077018000,'arrived',1,31,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end"}','1e213b2c0a273084c9f41103f5c848dd625e99db277bf15b329d3154aa31ca6f','4e36c13bc481ff6c230404a971ec5a4210d7bb540c163c88fcda3766073ad987');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',35,1795077020000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795077020000,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795077019000,"words":""}','4e36c13bc481ff6c230404a971ec5a4210d7bb540c163c88fcda3766073ad987','632b270a4ec530c26b3df872d383d8d756b08c7d6629c8367bf5e7de16f97e3b');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',36,1795077020000,'asked',1,35,'{"at_ms":1795077020000,"needs_reason":false,"question":{"what":"finish"},"reason":""}','632b270a4ec530c26b3df872d383d8d756b08c7d6629c8367bf5e7de16f97e3b','1f4881da6a7b64bdcf5cc074e480c59d645382789819b53f6d832d0298730963');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',37,1795077022000,'heard',1,0,'{"clarity":"phrase","confidence":"0.950","ended_ms":1795077022000,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795077021000,"words":""}','1f4881da6a7b64bdcf5cc074e480c59d645382789819b53f6d832d0298730963','08ce54949044062d1e3edd183adb66e846e84d3ce2b157069756d84f341cd714');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',38,1795077022000,'granted',1,37,'{"what":"finish"}','08ce54949044062d1e3edd183adb66e846e84d3ce2b157069756d84f341cd714','545e26d114e7fed2452df97da33eaa1d91770800ecedb836c7f9f08cd190a5cb');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',39,1795077022000,'closed',1,37,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":[],"open_values":[],"reason":""}','545e26d114e7fed2452df97da33eaa1d91770800ecedb836c7f9f08cd190a5cb','8b39f5a32554b41396e3491867ca24fb38057128186b2345f9f43fa491260fa5');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',40,1795077022000,'device_lost',1,0,'{"device":"microphone"}','8b39f5a32554b41396e3491867ca24fb38057128186b2345f9f43fa491260fa5','c282427d52de3916034b238dfae198cb7d7dbbba8c4f42393349f7139dfce169');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',41,1795077022000,'device_back',1,0,'{"device":"microphone"}','c282427d52de3916034b238dfae198cb7d7dbbba8c4f42393349f7139dfce169','24033de8e5eb391cb2fa92b8ee5f242c68cd1705dcba1b9911f1215ff6e11a57');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',42,1795077022000,'sound_lost',1,0,'{"pieces":12,"why":"busy"}','24033de8e5eb391cb2fa92b8ee5f242c68cd1705dcba1b9911f1215ff6e11a57','f27bb96786d95c8830d09168d85c3df534c4e19d9ab10243e822058248b5a732');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',43,1795077022000,'audio_kept',1,0,'{"file":"audio/0007.wav"}','f27bb96786d95c8830d09168d85c3df534c4e19d9ab10243e822058248b5a732','9d5cb042bf33b87cf779d39b49f4f5de514a0db73c9130ed6656a3d9238b8f9f');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',44,1795077022000,'part_failed',1,0,'{"at":"adapters/pyttsx.py:88","error":"Stalled","part":"voice","then":"built_again"}','9d5cb042bf33b87cf779d39b49f4f5de514a0db73c9130ed6656a3d9238b8f9f','19290fdea53bc4f30696bf92cea2d89ca31b77a260249422ba1f2f794ee90e2c');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',45,1795724680362,'corrected',1,0,'{"entry":5,"operator":{"sealed":"38d96aa01a64b58de2afba19970ce3bc056614eec2f33abb2c081bb3af831c0d"},"text":{"sealed":"b3457ea8ac33eb9761da49f4f2a1237268ae222c035357ef2b7ed3fcb3f3373e"}}','19290fdea53bc4f30696bf92cea2d89ca31b77a260249422ba1f2f794ee90e2c','9437df5381886b4c342447ba0fe6c4a986647feeefae710e511719c59b3cc97a');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',46,1795724680442,'supply_used',1,0,'{"batch":"B 77","expires":"2027-01-31","supply":"sealant"}','9437df5381886b4c342447ba0fe6c4a986647feeefae710e511719c59b3cc97a','016c3ed2717020fc166b0e842f64e507a5f4f59fef226c0d621410a875a62238');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',47,1795724680556,'meter',1,0,'{"done":false,"meter":{"unit":"h","value":"1203.5"},"note":"","restart":false}','016c3ed2717020fc166b0e842f64e507a5f4f59fef226c0d621410a875a62238','acffc7d17958a54198fa396de8e3cf7d1cbbc5d9bbe80518b03b2cd2d52d436b');
INSERT INTO "entry" VALUES('bay1-2026-11-19-1',48,1795724680667,'forgotten',1,0,'{"entries":3}','acffc7d17958a54198fa396de8e3cf7d1cbbc5d9bbe80518b03b2cd2d52d436b','fad148935e51196c7b53f63d62d4486ec5776cd7d47ee4ba8016e579fccb649d');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-19-1',48,'fad148935e51196c7b53f63d62d4486ec5776cd7d47ee4ba8016e579fccb649d');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-19-1','bay1',1);
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
