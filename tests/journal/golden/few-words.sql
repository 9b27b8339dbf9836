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
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',1,1795766400000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":"","procedure_file":"bench-check.yaml","procedure_id":"bench-check","procedure_path":{"sealed":"8578ca83023f44a350d795aa43c2c6b169075c346a695b838d525ace4f1920a6"},"procedure_revision":"1","procedure_sha256":"2b0a4f3d5d7e7cefc635de992b8bb179aac81b632d672b0935b1ef276a75260a","procedure_yaml":"# All values are invented. Not for use on a vehicle or on any machine.\n# The smallest whole job: one step of each main kind and one tightening in two stages.\nprocedure:\n  id: bench-check\n  title: Bench check\n  revision: 1\n  source: Invented for the practice bench of Alder Row training workshop\n  machine: Practice plate on the bench\n  hazard_scheme: ansi\npreliminary:\n  conditions: [The plate is clamped to the bench.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: wrench, name: torque wrench}\n  supplies: []\n  spares:\n    - {id: gasket, name: plate gasket, quantity: 1, single_use: true}\n  safety: []\ngroups:\n  - {id: plate, name: plate bolts, size: eight millimetre, bolts: 1-4}\nchapters:\n  - chapter: Strip\n    steps:\n      - {id: look, check: \"Is the plate clamped to the bench?\"}\n      - {id: bolts-out, count: Take out the plate bolts and count them., out: plate, place: the tray}\n  - chapter: Refit\n    steps:\n      - {id: new-gasket, fit: Fit a new plate gasket., spare: gasket}\n      - id: place-plate\n        do: Put the plate on the gasket.\n        hazards:\n          - {caution: The plate has sharp edges., consequence: It can cut your fingers., avoid: Hold it by its handles.}\n      - {id: bolts-in, count: Put in the plate bolts by hand and count them., in: plate}\n      - id: tighten-plate\n        tighten: Tighten the plate bolts crosswise.\n        tools: [wrench]\n        stages:\n          - {torque: 5 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}\n          - {torque: 12 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Bench check","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','87495dc970fb2120bdadb1098bb34d753f465e3f77eaaa4a4230e77a59639482');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',2,1795766400000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','87495dc970fb2120bdadb1098bb34d753f465e3f77eaaa4a4230e77a59639482','6b2db006c4d6888ff626c1c9fe519f3a9a17c4c593583922538f59fe2691a43a');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',3,1795766415700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766415700,"hazard":null,"intent":"in_full","number":null,"source":"voice","started_ms":1795766415300,"words":""}','6b2db006c4d6888ff626c1c9fe519f3a9a17c4c593583922538f59fe2691a43a','823e8e87a746458bdbb052b5472646253719a2a32ad3350648d30b723c6ebf84');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',4,1795766415700,'words_chosen',1,3,'{"how":"full"}','823e8e87a746458bdbb052b5472646253719a2a32ad3350648d30b723c6ebf84','9f1bf3f853e0d1af101e11a862561fe2580ef13688a9b45a955027fd3b25b08f');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',5,1795766418600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766418600,"hazard":null,"intent":"in_short","number":null,"source":"voice","started_ms":1795766418200,"words":""}','9f1bf3f853e0d1af101e11a862561fe2580ef13688a9b45a955027fd3b25b08f','4a4993b20290938341583f4506db555b3e554d4a8a0a54ca37bbd428d13321d1');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',6,1795766418600,'words_chosen',1,5,'{"how":"short"}','4a4993b20290938341583f4506db555b3e554d4a8a0a54ca37bbd428d13321d1','7e182c375738f50a77ce883a6ead08f42d26365534457d5dfef9ae32dc532404');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',7,1795766421500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766421500,"hazard":null,"intent":"as_usual","number":null,"source":"voice","started_ms":1795766420700,"words":""}','7e182c375738f50a77ce883a6ead08f42d26365534457d5dfef9ae32dc532404','335a4990bd0a274343723696dca78b61498292411a144e6bbf8e971260f22351');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',8,1795766421500,'words_chosen',1,7,'{"how":"usual"}','335a4990bd0a274343723696dca78b61498292411a144e6bbf8e971260f22351','871c503f3ea86661df5de57acde50e4c5da08dccbf934465e2889f5b5db8c759');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',9,1795766424800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766424800,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795766424000,"words":""}','871c503f3ea86661df5de57acde50e4c5da08dccbf934465e2889f5b5db8c759','f1b472cf3d9ca49a9e15ff0a24f8d4d0f5025d1491517490bd9abfe1457482c7');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',10,1795766424800,'dictation_begun',1,9,'{"at_ms":1795766424800,"question":{"what":"finish"},"what":"reason"}','f1b472cf3d9ca49a9e15ff0a24f8d4d0f5025d1491517490bd9abfe1457482c7','201e6d8fc8e74ee60860cbfef48cf39cf94a90fc24d092a0d539e4f76e03ec9e');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',11,1795766437700,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1795766437700,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1795766436100,"words":{"sealed":"9c2d958d99fa2441f41ff0634f29284571ebf85e42d58745be4dfea2f389b805"}}','201e6d8fc8e74ee60860cbfef48cf39cf94a90fc24d092a0d539e4f76e03ec9e','2e19931dc52ad16916f384cef5c3db0b636a2acd935b5e794f8a47901b6a251e');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',12,1795766437700,'words_taken',1,11,'{"at_ms":1795766437700,"is_cut":false,"text":{"sealed":"7b96127b2778034d7513562d298f1fc53c773ad58ee0f7f8a15e000be83d41c3"}}','2e19931dc52ad16916f384cef5c3db0b636a2acd935b5e794f8a47901b6a251e','4ebca0b6d0614347f490342ced7233b7de4d2fc31c5ba0fc89c9b6f276298dc3');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',13,1795766439000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766439000,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1795766438200,"words":""}','4ebca0b6d0614347f490342ced7233b7de4d2fc31c5ba0fc89c9b6f276298dc3','03b5335028df80c1762bea6112f6753cd15e74a5ff26dce58f686c7e76f543bf');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',14,1795766439000,'asked',1,13,'{"at_ms":1795766439000,"needs_reason":false,"question":{"what":"finish"},"reason":{"sealed":"e2349ce309c0a47a7b9413e7c211e8e1126a0012e2655ea4dae23e0be34e3f9f"}}','03b5335028df80c1762bea6112f6753cd15e74a5ff26dce58f686c7e76f543bf','1c1ee0ce5ab31394ef78f1d2ce3a304a8c833e456f3dc1ced27b7206c7cc8537');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',15,1795766453900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766453900,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795766453500,"words":""}','1c1ee0ce5ab31394ef78f1d2ce3a304a8c833e456f3dc1ced27b7206c7cc8537','8b85aeac68ad0ddbb9e225cba97e2e1bf35cfc13dcf38a82dae9a96fdb482d75');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',16,1795766453900,'granted',1,15,'{"what":"finish"}','8b85aeac68ad0ddbb9e225cba97e2e1bf35cfc13dcf38a82dae9a96fdb482d75','92de7399231682025304921656a1ad1f7c32187830c077fb110d056b37f1079c');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',17,1795766453900,'closed',1,15,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":["plate"],"open_parts":["new-gasket"],"open_problems":[],"open_stages":[["tighten-plate",1],["tighten-plate",2]],"open_steps":["conditions:1","persons:1","equipment:1","spares:1","look","bolts-out","new-gasket","place-plate","bolts-in","tighten-plate","tools-back"],"open_values":[],"reason":{"sealed":"b44b43dd2d69556819df49fa219313901f25b0bf66fe870a275aaaaab40ade80"}}','92de7399231682025304921656a1ad1f7c32187830c077fb110d056b37f1079c','ee4f01b8b33631fd0b2b2cb2003a96f547fdc67b51a63be39c7b87ff11b3a623');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-27-1',17,'ee4f01b8b33631fd0b2b2cb2003a96f547fdc67b51a63be39c7b87ff11b3a623');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-11-27-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'procedure_path','bf19750df63f708c50817cd2c7a5916c','"/tmp/practice-bay-n52iyrds/bench-check.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',11,'words','1fc388f05611ac75db224ed36d60a18d','"the practice ends here"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',12,'text','32e84ac053785c58f58d18f0284d9cbb','"the practice ends here"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',14,'reason','372b753ef3031e6be29d559639a40b81','"the practice ends here"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',17,'reason','fbc71ceb2089bb075534145a8345eb74','"the practice ends here"');
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
