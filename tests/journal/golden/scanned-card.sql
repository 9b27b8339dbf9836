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
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',1,1795770000000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":{"sealed":"630a1102e673064ccbab6f6137d0d67ed45586b6cc2255e9d718f31de4108762"},"customer":{"sealed":"2633522a9ba19ff6a61fc7078b94e1961460d371cfb3c3ff4336e16ef08b1897"},"keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":"","procedure_file":"scanned-parts.yaml","procedure_id":"scanned-parts","procedure_path":{"sealed":"4292bb0e60a5c57114c4973378fbdeca4bef915c9cab3128773e65826dd309a0"},"procedure_revision":"1","procedure_sha256":"305d8087575c371ea9afca55f522ef1155536a031d9eae15030ef4fe81567689","procedure_yaml":"# All values in this file are invented for practice and for tests. Do not use it on a vehicle or on any real machine.\nprocedure:\n  {id: scanned-parts, title: Lid of a practice stand, revision: 1, source: Invented for the tests,\n   machine: Practice stand on a bench, hazard_scheme: ansi}\npreliminary:\n  conditions: [The stand is bolted to the bench.]\n  persons: [{kind: mechanic, count: 1}]\n  support_equipment:\n    - {id: wrench, name: torque wrench}\n  supplies:\n    - {id: grease, name: practice grease, quantity: 1, unit: tube, part_number: \"09501101530003\"}\n  spares:\n    - {id: seal, name: lid seal, single_use: \"yes\", part_number: PX-1001}\n    - {id: ring, name: plug ring, single_use: \"yes\", part_number: PX-1002}\n    - {id: clip-a, name: left clip, quantity: 1, part_number: PX-2000}\n    - {id: clip-b, name: right clip, quantity: 1, part_number: PX-2000}\n  safety: []\ngroups:\n  - {id: lid, name: lid bolts, size: ten millimetre, bolts: 1-4}\nchapters:\n  - chapter: Tighten\n    steps:\n      - {id: seal-on, fit: Fit the new lid seal., spare: seal, supplies: [grease]}\n      - {id: ring-on, fit: Fit the new plug ring., spare: ring}\n      - id: lid-tight\n        tighten: Tighten the lid.\n        stages:\n          - {torque: 45 N·m, runs: [{group: lid, bolts: 1-4}]}\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Lid of a practice stand","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','22b6e577e0b95228d67c9d8d4962c50b8a046848ca5dc8b7ad2ab0c6e95f4afd');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',2,1795770000000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','22b6e577e0b95228d67c9d8d4962c50b8a046848ca5dc8b7ad2ab0c6e95f4afd','bbfabd8db2cf07501e7e6752afd0e54909856fc3e7d729f40807e5e49bda5e25');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',3,1795770016900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795770016900,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795770016500,"words":""}','bbfabd8db2cf07501e7e6752afd0e54909856fc3e7d729f40807e5e49bda5e25','85c502170fb4bda01a8b203b608e2d04bb546a6828b0739039c86401c6eb0189');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',4,1795770016900,'prepared',1,3,'{"missing":[],"place":"conditions:1","repeated":false}','85c502170fb4bda01a8b203b608e2d04bb546a6828b0739039c86401c6eb0189','6b589d839471b68820595837dc79b37b20360d7258f49b13aa0a5c612c054bb4');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',5,1795770016900,'arrived',1,3,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','6b589d839471b68820595837dc79b37b20360d7258f49b13aa0a5c612c054bb4','e4191b7481052eb2b0ac7d0f32af78f3cce48a7b2cd2425cbe1a6acb8762a5e1');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',6,1795770016900,'card_scanned',1,0,'{"fields":["asset","customer"],"order":{"sealed":"8940ca1f323996c60d49ee5850f946b270eff2dd03c8192881b323b43f723a25"},"source":"page"}','e4191b7481052eb2b0ac7d0f32af78f3cce48a7b2cd2425cbe1a6acb8762a5e1','8b4f6c679f9f934e4ac0e5c8fa9111d1682a8375bfb93436ed69e8dc955afa5e');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-27-1',6,'8b4f6c679f9f934e4ac0e5c8fa9111d1682a8375bfb93436ed69e8dc955afa5e');
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
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'asset','66476caa3014a0d9795883f9dcce0e55','"Practice stand 4"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'customer','f68bd19aa5e629563782d82c709aa41b','"Row of Alders"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'procedure_path','bade886727f3545b8df848b549831e3a','"/tmp/practice-bay-hso13t17/scanned-parts.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',6,'order','b431434d91ce1b65996320a6b0b42580','"WO-4711"');
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
