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
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',1,1796133600000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"ebe01b979ae9be88c4bc6340d0d1693fc5121c3517c81abe96fddfdf96372d27"},"procedure_file":"bench-check.yaml","procedure_id":"bench-check","procedure_path":{"sealed":"53185c3be151d4e29ed7aaec14d96ca75a210936e7af6d82169bdea5bb812d4d"},"procedure_revision":"1","procedure_sha256":"2b0a4f3d5d7e7cefc635de992b8bb179aac81b632d672b0935b1ef276a75260a","procedure_yaml":"# All values are invented. Not for use on a vehicle or on any machine.\n# The smallest whole job: one step of each main kind and one tightening in two stages.\nprocedure:\n  id: bench-check\n  title: Bench check\n  revision: 1\n  source: Invented for the practice bench of Alder Row training workshop\n  machine: Practice plate on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The plate is clamped to the bench.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: wrench, name: torque wrench}\n  supplies: []\n  spares:\n    - {id: gasket, name: plate gasket, quantity: 1, single_use: true}\n  safety: []\ngroups:\n  - {id: plate, name: plate bolts, size: eight millimetre, bolts: 1-4}\nchapters:\n  - chapter: Strip\n    steps:\n      - {id: look, check: \"Is the plate clamped to the bench?\"}\n      - {id: bolts-out, count: Take out the plate bolts and count them., out: plate, place: the tray}\n  - chapter: Refit\n    steps:\n      - {id: new-gasket, fit: Fit a new plate gasket., spare: gasket}\n      - id: place-plate\n        do: Put the plate on the gasket.\n        hazards:\n          - {caution: The plate has sharp edges., consequence: It can cut your fingers., avoid: Hold it by its handles.}\n      - {id: bolts-in, count: Put in the plate bolts by hand and count them., in: plate}\n      - id: tighten-plate\n        tighten: Tighten the plate bolts crosswise.\n        tools: [wrench]\n        stages:\n          - {torque: 5 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}\n          - {torque: 12 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Bench check","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','4ffa510adac91a18ce3aa74689bdd79aef9b60ed1eac2526cbf2eb0566efa8dc');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',2,1796133600000,'operators_named',1,1,'{"names":{"sealed":"ceca90afa4283fe95bca06bf6799f6fffec29e3eb97b681c84da26d174e9dba3"}}','4ffa510adac91a18ce3aa74689bdd79aef9b60ed1eac2526cbf2eb0566efa8dc','df3767c7d23dbc931e888cf30d9f8727113bc65d9cf01c3ee48c1a0033307481');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',3,1796133600000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','df3767c7d23dbc931e888cf30d9f8727113bc65d9cf01c3ee48c1a0033307481','614a841d438f8864cceb4e767bed0e9033e512f59ab1765a16855f0563c00d94');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',4,1796133600000,'revision_gone',1,0,'{"begins":true,"on":"2026-12-01","procedure":"bench-check","reason":{"sealed":"66ee759d9e9393209f84771992da383b93018e1d93ff68acbc23b8b00ea17f33"},"revision":"1"}','614a841d438f8864cceb4e767bed0e9033e512f59ab1765a16855f0563c00d94','fc6b1d84a0575da1ba01ccb48f54d9cebc62072d240b24438dbe557e7237b16f');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',5,1796133600000,'asked',1,4,'{"at_ms":1796133600000,"needs_reason":false,"question":{"revision":"1","what":"anyhow"},"reason":""}','fc6b1d84a0575da1ba01ccb48f54d9cebc62072d240b24438dbe557e7237b16f','4ef2b6d3567e0b95b242cda3bb7656fcdb1f6d6052f464a1b27372268a5d3520');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',6,1796133613700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796133613700,"hazard":null,"intent":"cancel","number":null,"source":"voice","started_ms":1796133613300,"words":""}','4ef2b6d3567e0b95b242cda3bb7656fcdb1f6d6052f464a1b27372268a5d3520','cb27dbd06b01ead6deabf7f9b1882378ce1298f92adb436d1776145cde2b8245');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',7,1796133613700,'cancelled',1,6,'{"at_ms":1796133613700,"what":"anyhow","why":"said"}','cb27dbd06b01ead6deabf7f9b1882378ce1298f92adb436d1776145cde2b8245','d0dbbaa46830277b5d4b4adeb2844000c500b029f3265ee42ebbe52c168b991e');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',8,1796133616200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796133616200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796133615800,"words":""}','d0dbbaa46830277b5d4b4adeb2844000c500b029f3265ee42ebbe52c168b991e','e4532cf818c949edcf45e7c08752fc743124fbac07ae267252e567d2e840efb8');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',9,1796133616200,'asked',1,8,'{"at_ms":1796133616200,"needs_reason":false,"question":{"revision":"1","what":"anyhow"},"reason":""}','e4532cf818c949edcf45e7c08752fc743124fbac07ae267252e567d2e840efb8','4fca7c655a797a329ad0a6b85a0867ce861d27aa8af994baca0b9aa76f3c5474');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',10,1796133629900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796133629900,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796133629500,"words":""}','4fca7c655a797a329ad0a6b85a0867ce861d27aa8af994baca0b9aa76f3c5474','5480ef1728514242e895aebab9655a13dd42224786e21afafbe92a7be7a36b87');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',11,1796133629900,'granted',1,10,'{"what":"anyhow"}','5480ef1728514242e895aebab9655a13dd42224786e21afafbe92a7be7a36b87','973aacf2d40e7b3609be9923166d91f9f931e7132dfda11e7cfcfaa308e1a14d');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',12,1796133629900,'begun_anyhow',1,10,'{"revision":"1"}','973aacf2d40e7b3609be9923166d91f9f931e7132dfda11e7cfcfaa308e1a14d','e0788d827943482bb9b85323494d8f258da5f14ed4ea87bc91445ab9c936c6d9');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',13,1796133634800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796133634800,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796133634400,"words":""}','e0788d827943482bb9b85323494d8f258da5f14ed4ea87bc91445ab9c936c6d9','e70b98b0959b413634b985c0ee7248b2860a72c989acb9757bb93f29b577557b');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',14,1796133634800,'prepared',1,13,'{"missing":[],"place":"conditions:1","repeated":false}','e70b98b0959b413634b985c0ee7248b2860a72c989acb9757bb93f29b577557b','5afcac3273e3a34fcbf82d475e5a8186db7b4aaf25e1e02f57b253dae7133472');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',15,1796133634800,'arrived',1,13,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','5afcac3273e3a34fcbf82d475e5a8186db7b4aaf25e1e02f57b253dae7133472','3542732d36b9154ddc72acb2cc3ab5bd501b137cef64475e288d003571ccc0c6');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',16,1796133637300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796133637300,"hazard":null,"intent":"pause","number":null,"source":"voice","started_ms":1796133636900,"words":""}','3542732d36b9154ddc72acb2cc3ab5bd501b137cef64475e288d003571ccc0c6','ad9667354dff09f00de6837eb9649396f7ebab19983e329b4da3718191b93625');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',17,1796133637300,'paused',1,16,'{}','ad9667354dff09f00de6837eb9649396f7ebab19983e329b4da3718191b93625','7f5ced3b3180ac84d556e7d0b0c88f70386475d6c865bef66b28148d567b937a');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',18,1796198400000,'resumed',1,0,'{"operator":"","program":"0.1.0","start":null,"tools":null}','7f5ced3b3180ac84d556e7d0b0c88f70386475d6c865bef66b28148d567b937a','e6bba3e93b718eb4dcdc51e5e961505b346110082e03e53e6275a52f624878e8');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',19,1796198400000,'revision_gone',1,0,'{"begins":false,"on":"2026-12-01","procedure":"bench-check","reason":{"sealed":"5a6c0d549ba6873a43cb5c4b4dc2994a0543de4ea541113a3784acfd6a70c6cf"},"revision":"1"}','e6bba3e93b718eb4dcdc51e5e961505b346110082e03e53e6275a52f624878e8','69edd21e4d7ba46d5d04796e37abdd578612996e9c6176f1533a27b5179a8d4e');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',20,1796198412900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796198412900,"hazard":null,"intent":"carry_on","number":null,"source":"voice","started_ms":1796198412100,"words":""}','69edd21e4d7ba46d5d04796e37abdd578612996e9c6176f1533a27b5179a8d4e','b53ee18501a43923876f1785fba74401e117ba818a3ce5132ebc7b0daad80fd2');
INSERT INTO "entry" VALUES('bay1-2026-12-01-1',21,1796198412900,'carried_on',1,20,'{}','b53ee18501a43923876f1785fba74401e117ba818a3ce5132ebc7b0daad80fd2','82ce37cc05d4a7369716d4cf957812724642659e64ddec743162cd2c6d3f59ca');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-12-01-1',21,'82ce37cc05d4a7369716d4cf957812724642659e64ddec743162cd2c6d3f59ca');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-12-01-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-12-01-1',1,'operator','0a5db271302f23afcd5526352153a0f5','"D. Moss"');
INSERT INTO "personal" VALUES('bay1-2026-12-01-1',1,'procedure_path','cf0a84ec048cb2779419ee59e0fe04f6','"/tmp/practice-bay-fnfnkuhy/bench-check.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-12-01-1',2,'names','9da3c401da1d6f45b7801203c54657ba','"D. Moss"');
INSERT INTO "personal" VALUES('bay1-2026-12-01-1',4,'reason','3e9e46b6d2a81b7fffce82815fe97014','"the second torque is wrong"');
INSERT INTO "personal" VALUES('bay1-2026-12-01-1',19,'reason','4d50ca1717f8733d33445a5f876ff22c','"the second torque is wrong"');
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
