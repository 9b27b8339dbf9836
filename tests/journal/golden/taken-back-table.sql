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
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',1,1795266000000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":"","procedure_file":"practice-heads.yaml","procedure_id":"practice-heads","procedure_path":{"sealed":"ceeff260695b44b7827f5b0d08e81a86195a7fa97349048eae114e5e717c8755"},"procedure_revision":"1","procedure_sha256":"4b5bfa3733517d7e130f3ba7de1d70a54c559c89ca13c2daf40c3b5b9737d54f","procedure_yaml":"# Invented for these tests: a practice engine with six cylinders and an axle with four wheels. Not for use on a vehicle.\nprocedure:\n  id: practice-heads\n  title: Readings on the practice engine\n  revision: 1\n  source: Invented for the practice bench of Alder Row training workshop\n  machine: Practice engine with six cylinders\n  hazard_scheme: ansi\n  values: invented\npreliminary:\n  conditions: []\n  persons: [{kind: mechanic, count: 1}]\n  support_equipment: [{id: gauge, name: feeler gauge}]\n  supplies: []\n  spares: []\n  safety: []\nchapters:\n  - chapter: Valves\n    steps:\n      - measure: Measure the valve clearances with the engine cold.\n        id: clearances\n        tools: [gauge]\n        for each: cylinder\n        of: 1-6\n        readings:\n          - {name: intake, limits: 0.15 to 0.25 mm}\n          - {name: exhaust, limits: 0.25 to 0.35 mm}\n      - do: Put the covers on.\n        id: covers\n  - chapter: Brakes\n    steps:\n      - for each: wheel\n        of: [front left, front right]\n        steps:\n          - do: Take the wheel off.\n            id: wheel-off\n          - measure: Measure the pad.\n            id: pad\n            readings:\n              - {name: inner, limits: at least 3 mm, when: found}\n              - {name: inner, limits: at least 8 mm, when: left}\n          - do: Put the wheel on.\n            id: wheel-on\nclosing:\n  - check: Are all the tools back in their places?\n    id: tools-back\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Readings on the practice engine","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','36480a6615235ee5832857ce66217e7a66cf396760ec49093827d6414af54d20');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',2,1795266000000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','36480a6615235ee5832857ce66217e7a66cf396760ec49093827d6414af54d20','4fa5d9fbf8d89011f2b209fb85a83ad3241fa6aa88eb4fd6138beddac58cc547');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',3,1795266018500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266018500,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795266018100,"words":""}','4fa5d9fbf8d89011f2b209fb85a83ad3241fa6aa88eb4fd6138beddac58cc547','71af00c20ec66e5e7f11b24f9753b146329d9560880e0170e768f208708dabb1');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',4,1795266018500,'prepared',1,3,'{"missing":[],"place":"persons:1","repeated":false}','71af00c20ec66e5e7f11b24f9753b146329d9560880e0170e768f208708dabb1','045175d8c364503247be53e71317d98cf17144f8f15f372995ac8369fbaf008a');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',5,1795266018500,'arrived',1,3,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','045175d8c364503247be53e71317d98cf17144f8f15f372995ac8369fbaf008a','b823e568bdbfcbdec3814b42cfcaa9f73853db0c7fbd3e322b05227d83dd5c64');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',6,1795266021400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266021400,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795266021000,"words":""}','b823e568bdbfcbdec3814b42cfcaa9f73853db0c7fbd3e322b05227d83dd5c64','dd313d82f84b30bb24d3c9d22d57bcb9a237c0132ba0816edc07e6ee934d561c');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',7,1795266021400,'prepared',1,6,'{"missing":[],"place":"equipment:1","repeated":false}','dd313d82f84b30bb24d3c9d22d57bcb9a237c0132ba0816edc07e6ee934d561c','d4b9bac06524edf56b03324f215c7abae50ab97eab7c3837575fce2d41ebf9e0');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',8,1795266021400,'arrived',1,6,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"clearances"}','d4b9bac06524edf56b03324f215c7abae50ab97eab7c3837575fce2d41ebf9e0','d9822bbedc3f3e34b8f7746b5e1f4a689280deb79f0bff75a76b8f8cfca37a87');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',9,1795266037500,'heard_of',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266037500,"hazard":null,"intent":"bare_reading","name":"0.2","number":null,"source":"voice","started_ms":1795266036700,"words":""}','d9822bbedc3f3e34b8f7746b5e1f4a689280deb79f0bff75a76b8f8cfca37a87','d968c25137543a82cdb917e2c3d52a8dd60ee52e2dc8e68c787360eb918f0823');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',10,1795266037500,'cell_read',1,9,'{"column":"intake","limits":{"high":"0.25","low":"0.15"},"reading":{"unit":"mm","value":"0.2"},"repeated":false,"row":"1","side":"within","step":"clearances","when":null}','d968c25137543a82cdb917e2c3d52a8dd60ee52e2dc8e68c787360eb918f0823','d5f0519920993a3171d7a6f457b7bfe64db8f50d6835fce110070c5691070638');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',11,1795266045200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266045200,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1795266044000,"words":""}','d5f0519920993a3171d7a6f457b7bfe64db8f50d6835fce110070c5691070638','3bba741411d437e58bb3a5e8dffc27d8f8fa7efeef9f8a46a3fa97bd78829463');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',12,1795266045200,'asked',1,11,'{"at_ms":1795266045200,"needs_reason":false,"question":{"heard_ms":1795266037500,"what":"take_back"},"reason":""}','3bba741411d437e58bb3a5e8dffc27d8f8fa7efeef9f8a46a3fa97bd78829463','fad60c871a9678d51b97bac343aaae0714caddd3918ae5e8f8ac4ce7d3badfb9');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',13,1795266049700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266049700,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795266049300,"words":""}','fad60c871a9678d51b97bac343aaae0714caddd3918ae5e8f8ac4ce7d3badfb9','49cfc72794ff36896ef651652ee3c5ececba95229d6804013f5588d90c052d08');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',14,1795266049700,'granted',1,13,'{"what":"take_back"}','49cfc72794ff36896ef651652ee3c5ececba95229d6804013f5588d90c052d08','1dee3cbf5b3aef0173588b0440074d46fff7d7ed61c0aad7622504cd3ff6d611');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',15,1795266049700,'taken_back',1,13,'{"by":"","confirmed_by":"","heard_ms":1795266037500,"place":"clearances"}','1dee3cbf5b3aef0173588b0440074d46fff7d7ed61c0aad7622504cd3ff6d611','b7782e93875939c4affd9c44469aa5442ab60c9f488302e53b62428973550ec0');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',16,1795266049700,'cell_reopened',1,13,'{"column":"intake","row":"1","step":"clearances"}','b7782e93875939c4affd9c44469aa5442ab60c9f488302e53b62428973550ec0','2fde8fdcdc8de815750e9b1019d1f688babd78e324140a728603426e5e28c854');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',17,1795266049700,'arrived',1,13,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"clearances"}','2fde8fdcdc8de815750e9b1019d1f688babd78e324140a728603426e5e28c854','8c3a9dab6aea75a53bff7ebbd23439b4834721583c5a420f92cddeb96a16e546');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',18,1795266063800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266063800,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795266063000,"words":""}','8c3a9dab6aea75a53bff7ebbd23439b4834721583c5a420f92cddeb96a16e546','6619cbfffe65b9c9b5de6d99b3ee13a4ff556d6e08245ca2f6a7b0cbd46bebe0');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',19,1795266063800,'dictation_begun',1,18,'{"at_ms":1795266063800,"question":{"what":"finish"},"what":"reason"}','6619cbfffe65b9c9b5de6d99b3ee13a4ff556d6e08245ca2f6a7b0cbd46bebe0','b2ae565e7434bd93c21d735b5ce664b91acc02236f8f934139b1e70067a48812');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',20,1795266071100,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1795266071100,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1795266069100,"words":{"sealed":"6fe16d856f216aae1b100b23bc70af6eb5177c13146563961a414434a4fd11e0"}}','b2ae565e7434bd93c21d735b5ce664b91acc02236f8f934139b1e70067a48812','96a7a89f65e770986950385cefa787f2404b0be4e8442046596fd1cb0658e477');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',21,1795266071100,'words_taken',1,20,'{"at_ms":1795266071100,"is_cut":false,"text":{"sealed":"7079910fa6daf7afb392544686969df17b3fdea2ff3b6bc3dd22cb5c819e3bec"}}','96a7a89f65e770986950385cefa787f2404b0be4e8442046596fd1cb0658e477','5dfbd24fa27c4bd73ca007cc07689b230cdfe28de3e18f607d1127ea316e77e2');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',22,1795266072400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266072400,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1795266071600,"words":""}','5dfbd24fa27c4bd73ca007cc07689b230cdfe28de3e18f607d1127ea316e77e2','a33d0f0c46b86945d9c3463d0d12bb9961e651516894db7c1bd8a152a793ee2a');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',23,1795266072400,'asked',1,22,'{"at_ms":1795266072400,"needs_reason":false,"question":{"what":"finish"},"reason":{"sealed":"00b92d8bf9a3853c063992949d29e18ad3ba6c1000dda01f66dd9c957323d766"}}','a33d0f0c46b86945d9c3463d0d12bb9961e651516894db7c1bd8a152a793ee2a','29213626ba4958af5fc6cfe236a9efb9a74db1a084f8db3615cabe14795ff597');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',24,1795266081700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795266081700,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795266081300,"words":""}','29213626ba4958af5fc6cfe236a9efb9a74db1a084f8db3615cabe14795ff597','ef79247b52077dc2298c5d4c1f142e57eec52bcacf6b2eccb2c41c8de299d970');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',25,1795266081700,'granted',1,24,'{"what":"finish"}','ef79247b52077dc2298c5d4c1f142e57eec52bcacf6b2eccb2c41c8de299d970','25fa6c0c8a4336da413cdd0adc2331802d78b327c645bd0c5bac5f7edadfa51c');
INSERT INTO "entry" VALUES('bay1-2026-11-21-1',26,1795266081700,'closed',1,24,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":["clearances","covers","wheel-off--front-left","pad--front-left","wheel-on--front-left","wheel-off--front-right","pad--front-right","wheel-on--front-right","tools-back"],"open_values":[],"reason":{"sealed":"17873702808a7f3c5b7063453dbf3f202b2a14657ddbc3dcb27de12b6886c3ee"}}','25fa6c0c8a4336da413cdd0adc2331802d78b327c645bd0c5bac5f7edadfa51c','4d64ba8e4da63b30459fc1f0d437c313b68ce4f1639cea56da7b926a691c7e68');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-21-1',26,'4d64ba8e4da63b30459fc1f0d437c313b68ce4f1639cea56da7b926a691c7e68');
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
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',1,'procedure_path','e76dabe18d7d6ed39a93ef91e1522f11','"/tmp/practice-bay-oh3bwefu/practice-heads.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',20,'words','d6ac096ae3844ac9341594900d2c96f9','"the rest comes another day"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',21,'text','f872e4ed7cf02b4fb9e0dac5c43ff66d','"the rest comes another day"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',23,'reason','eb6710aa355c205c628c8ac4bc4b06c6','"the rest comes another day"');
INSERT INTO "personal" VALUES('bay1-2026-11-21-1',26,'reason','4c69fa63335550cfcc851a0bfcb1dbdf','"the rest comes another day"');
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
