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
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',1,1796284800000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":"","customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"1500090bf4313d9f9adeb46b3c4a252ee1c2928003af68ddc9690729d2723e9a"},"procedure_file":"lid-and-rail.yaml","procedure_id":"lid-and-rail","procedure_path":{"sealed":"3a5363b0d1bbca15b4cce50b6a30b875e3d56721cfd7ddc955717ea9f926b426"},"procedure_revision":"1","procedure_sha256":"f6cb58259da034e3e459bdc8b5fedbf7dddd1092189f854425c03adc936a7f74","procedure_yaml":"# Values are invented for the practice bench of Alder Row: not for use on a vehicle.\nprocedure:\n  id: lid-and-rail\n  title: Lid and rail\n  revision: 1\n  source: Invented for the practice bench of Alder Row training workshop\n  machine: Practice plate on the bench\n  hazard_scheme: ansi\n  values: invented\npreliminary:\n  conditions: [The plate is clamped to the bench.]\n  persons:\n    - {kind: mechanic, count: 1}\n  support_equipment:\n    - {id: lamp, name: hand lamp}\n    - {id: puller, name: rail puller}\n  supplies: []\n  spares:\n    - {id: rail, name: slide rail, quantity: 1}\n    - {id: hose, name: breather hose, quantity: 1}\n  safety: []\nchapters:\n  - chapter: Look\n    steps:\n      - id: lid\n        do: Open the lid.\n        tools: [lamp]\n        not_refitted: The lid stays open on the bench.\n        offer:\n          title: change the breather hose\n          why: It is free only with the lid open.\n          minutes: 20\n          spares: [hose]\n          steps:\n            - {id: hose-off, do: Pull off the breather hose., not_refitted: A new one goes on.}\n            - {id: hose-on, fit: Push on a new breather hose., spare: hose}\n      - id: rail-cracks\n        check: Is the slide rail free of cracks?\n        if no:\n          title: change the slide rail\n          minutes: 25\n          tools: [puller]\n          then: again\n          steps:\n            - {id: rail-out, do: Pull out the slide rail., not_refitted: A new one goes in.}\n            - {id: rail-in, fit: Push in a new slide rail., spare: rail}\n            - id: rail-moves\n              check: Does it slide by hand?\n              if no:\n                title: free the rail\n                steps:\n                  - {id: rail-free, do: Rub the rail with the lamp on it., tools: [lamp]}\n      - id: play\n        check: Measure the play of the rail.\n        limits: 0.10 to 0.30 mm\n        if above:\n          title: set the play\n          why: Too much play knocks.\n          minutes: 10\n          extra: yes\n          steps:\n            - {id: screw-in, do: Turn the set screw in by hand.}\n        if below:\n          then: stop\n          steps:\n            - {id: screw-out, do: Turn the set screw out by hand.}\n      - {id: wipe, do: Wipe the rail.}\nclosing:\n  - {id: tools-back, check: \"Are all tools back on the bench?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Lid and rail","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','6f9fb91f87d1f73a9f2f3f63e7ee16d68f268f87215bdfa325a5b5eeef221c45');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',2,1796284800000,'operators_named',1,1,'{"names":{"sealed":"d555441835852cb5ce2acc7cd98add84fc15c3bdb35d67b342aaacd7b1c52f55"}}','6f9fb91f87d1f73a9f2f3f63e7ee16d68f268f87215bdfa325a5b5eeef221c45','1d2d18fcfe031f3d707bdd297c53528b2cc1f03318c599d15ca65da27ea8048d');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',3,1796284800000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','1d2d18fcfe031f3d707bdd297c53528b2cc1f03318c599d15ca65da27ea8048d','51cde236e6bd35edcf14a62dec3a688e0ae50eeb6c10d14dc149cfdae29f9405');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',4,1796284818900,'unsure_of',1,0,'{"clarity":"phrase","confidence":"0.450","ended_ms":1796284818900,"hazard":null,"intent":"next","source":"voice","started_ms":1796284818500,"text":"","why":"unsure"}','51cde236e6bd35edcf14a62dec3a688e0ae50eeb6c10d14dc149cfdae29f9405','c069e1278756fb010048e8976ea2cd4a4cac53c0a482be58c2901c0a12a8b660');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',5,1796284818900,'asked_back',1,4,'{"at_ms":1796284818900,"intent":"next","place":"conditions:1"}','c069e1278756fb010048e8976ea2cd4a4cac53c0a482be58c2901c0a12a8b660','560e0d9b19d67947ef094461f500b42df13159ef64b109767df66acce462d451');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',6,1796284820200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796284820200,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1796284819800,"words":""}','560e0d9b19d67947ef094461f500b42df13159ef64b109767df66acce462d451','53f112898cf9854e325479d33eec4161808ef43785f0943e3336313663a32c8a');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',7,1796284820200,'answered_back',1,6,'{"intent":"next","is_meant":true}','53f112898cf9854e325479d33eec4161808ef43785f0943e3336313663a32c8a','9b59de7292115acef9809401ec172dd2ac3f4d0c2f84544180855a6cc7f32567');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',8,1796284820200,'prepared',1,6,'{"missing":[],"place":"conditions:1","repeated":false}','9b59de7292115acef9809401ec172dd2ac3f4d0c2f84544180855a6cc7f32567','6117950ac20ceecaaad9fe39c0039b18cff32ae3fba710f0f9f051c29e17b019');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',9,1796284820200,'arrived',1,6,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','6117950ac20ceecaaad9fe39c0039b18cff32ae3fba710f0f9f051c29e17b019','b8984e5b0027401516394922bb1de456f5bbaf86263b0298c35b7a53ce20a6a3');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',10,1796284822700,'unsure_of',1,0,'{"clarity":"phrase","confidence":"0.450","ended_ms":1796284822700,"hazard":null,"intent":"next","source":"voice","started_ms":1796284822300,"text":"","why":"unsure"}','b8984e5b0027401516394922bb1de456f5bbaf86263b0298c35b7a53ce20a6a3','b59e7286fb62c9af93eafce44c78428fb4c2217cfad7ea80c6406d4e36a5f4b9');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',11,1796284822700,'asked_back',1,10,'{"at_ms":1796284822700,"intent":"next","place":"persons:1"}','b59e7286fb62c9af93eafce44c78428fb4c2217cfad7ea80c6406d4e36a5f4b9','84ca5251fd7fa577512587242f01e27f8425003ab01e13754d836e0b96b7a439');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',12,1796284824000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796284824000,"hazard":null,"intent":"no","number":null,"source":"voice","started_ms":1796284823600,"words":""}','84ca5251fd7fa577512587242f01e27f8425003ab01e13754d836e0b96b7a439','ad0ed715c11059763a74d3ee7d84694db4b9c2f21a9caa95faab9c0f33cae58f');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',13,1796284824000,'answered_back',1,12,'{"intent":"next","is_meant":false}','ad0ed715c11059763a74d3ee7d84694db4b9c2f21a9caa95faab9c0f33cae58f','cf9e43460cf1dfe3f3a2192cbfabb4affd24810b6f42da691e4d23561ea0a879');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',14,1796284825700,'unsure_of',1,0,'{"clarity":"phrase","confidence":"0.450","ended_ms":1796284825700,"hazard":null,"intent":"next","source":"voice","started_ms":1796284825300,"text":"","why":"unsure"}','cf9e43460cf1dfe3f3a2192cbfabb4affd24810b6f42da691e4d23561ea0a879','1cd789d24589f625a54778631874d966ede3ca783295908816403934f9401ba8');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',15,1796284825700,'asked_back',1,14,'{"at_ms":1796284825700,"intent":"next","place":"persons:1"}','1cd789d24589f625a54778631874d966ede3ca783295908816403934f9401ba8','ed8869d34b2946388f00bb2200cd90d2653d52130a2ac85592a07b794ea6092a');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',16,1796284827000,'heard',1,0,'{"clarity":"phrase","confidence":"0.450","ended_ms":1796284827000,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796284826600,"words":""}','ed8869d34b2946388f00bb2200cd90d2653d52130a2ac85592a07b794ea6092a','1720d99f13562a83d4b1e6fdf6836a8e53d3db8ea73e27b450fee1e0a398c0e8');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',17,1796284827000,'answered_back',1,16,'{"intent":"next","is_meant":true}','1720d99f13562a83d4b1e6fdf6836a8e53d3db8ea73e27b450fee1e0a398c0e8','0c778f482770f86160fc7b63f12054da95709605b21e393aec161b04278e8a9f');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',18,1796284827000,'prepared',1,16,'{"missing":[],"place":"persons:1","repeated":false}','0c778f482770f86160fc7b63f12054da95709605b21e393aec161b04278e8a9f','d5f972d03e2b3e98bf47cd43688004b56011c01616d82e2fe9c8100d75a50c1b');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',19,1796284827000,'arrived',1,16,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','d5f972d03e2b3e98bf47cd43688004b56011c01616d82e2fe9c8100d75a50c1b','45895a17f2ced96b283a9c1ab7a572ce49061bf142e82a5855fc01d4c6a707b5');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',20,1796284829900,'unsure_of',1,0,'{"clarity":"phrase","confidence":"0.450","ended_ms":1796284829900,"hazard":null,"intent":"next","source":"voice","started_ms":1796284829500,"text":"","why":"unsure"}','45895a17f2ced96b283a9c1ab7a572ce49061bf142e82a5855fc01d4c6a707b5','4ea224ca9f5d1cce7fbd3f4a2b877549dc51dd47298cf4e9d1aad71c27b0018f');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',21,1796284829900,'asked_back',1,20,'{"at_ms":1796284829900,"intent":"next","place":"equipment:1"}','4ea224ca9f5d1cce7fbd3f4a2b877549dc51dd47298cf4e9d1aad71c27b0018f','06a4a3221774b4de547ea8d8327c41b171209af5d8d4beb550cf3c847adbf16c');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',22,1796288400000,'resumed',1,0,'{"operator":"","program":"0.1.0","start":null,"tools":null}','06a4a3221774b4de547ea8d8327c41b171209af5d8d4beb550cf3c847adbf16c','3cb90d43b2aefd0827316640f4eabdb09454277e5dd184353148561b585ea52e');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',23,1796288403700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796288403700,"hazard":null,"intent":"where","number":null,"source":"voice","started_ms":1796288402500,"words":""}','3cb90d43b2aefd0827316640f4eabdb09454277e5dd184353148561b585ea52e','3790607c99ab6ae7d09bc744a47bded26c4e5fb1908574d307f5f4e58b6d3f34');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',24,1796288403700,'answered_back',1,23,'{"intent":"next","is_meant":false}','3790607c99ab6ae7d09bc744a47bded26c4e5fb1908574d307f5f4e58b6d3f34','25f63944ad2ae41bd67546d5c77db6dd9c73fff55be8c8071ba4462414b6716f');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',25,1796288405000,'unsure_of',1,0,'{"clarity":"phrase","confidence":"0.450","ended_ms":1796288405000,"hazard":null,"intent":"next","source":"voice","started_ms":1796288404600,"text":"","why":"unsure"}','25f63944ad2ae41bd67546d5c77db6dd9c73fff55be8c8071ba4462414b6716f','30462b790709084f94c6594b8e7fe71424abc5b9d697126908509a3a4371c9df');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',26,1796288405000,'asked_back',1,25,'{"at_ms":1796288405000,"intent":"next","place":"equipment:1"}','30462b790709084f94c6594b8e7fe71424abc5b9d697126908509a3a4371c9df','16943ad4a2e3321f6ed423215ea970ec78b1bbf1390c2fa8e7d6ddec2c70f1b5');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',27,1796288406300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796288406300,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1796288405900,"words":""}','16943ad4a2e3321f6ed423215ea970ec78b1bbf1390c2fa8e7d6ddec2c70f1b5','2a680ddb79f03be3be89770923e24ccd4aaf5502317c2033b8de44d7a11079ce');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',28,1796288406300,'answered_back',1,27,'{"intent":"next","is_meant":true}','2a680ddb79f03be3be89770923e24ccd4aaf5502317c2033b8de44d7a11079ce','15ab6d562fc7e8fa644414a495b38383f9117129eb56755f70b563f7166b903a');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',29,1796288406300,'prepared',1,27,'{"missing":[],"place":"equipment:1","repeated":false}','15ab6d562fc7e8fa644414a495b38383f9117129eb56755f70b563f7166b903a','dc46201c482053c1b5cb7d29b1f4ca5b7f64e0cbb9a1f0f0a70b9f57d2a7021d');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',30,1796288406300,'arrived',1,27,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"lid"}','dc46201c482053c1b5cb7d29b1f4ca5b7f64e0cbb9a1f0f0a70b9f57d2a7021d','da72699dbe8deb5a9e7eea63c67f361700eba229f9cdd44f56f6e7279b64fbc6');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',31,1796288413600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796288413600,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1796288412800,"words":""}','da72699dbe8deb5a9e7eea63c67f361700eba229f9cdd44f56f6e7279b64fbc6','6045ccc88720f6d2c7a83b1a7a73b0bcc400fdc97a157e67fdf1a29f9bf12b8f');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',32,1796288413600,'dictation_begun',1,31,'{"at_ms":1796288413600,"question":{"what":"finish"},"what":"reason"}','6045ccc88720f6d2c7a83b1a7a73b0bcc400fdc97a157e67fdf1a29f9bf12b8f','207a629c834a2dad448188a07b8d9c983af935bc56adf5607986d7542de91052');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',33,1796288420500,'heard',1,0,'{"clarity":"dictation","confidence":"1.000","ended_ms":1796288420500,"hazard":null,"intent":"words","number":null,"source":"voice","started_ms":1796288418900,"words":{"sealed":"a5c9e7a9d4befa48c42b515b2fcb4a6b18b3f0888e7b76067b6d8a1da9760111"}}','207a629c834a2dad448188a07b8d9c983af935bc56adf5607986d7542de91052','38d546249dce7dffba38645c11723bcc0207640d2f5e2c7b469d9e92f9217bf8');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',34,1796288420500,'words_taken',1,33,'{"at_ms":1796288420500,"is_cut":false,"text":{"sealed":"8c5de9e594427b84bb8478701590eb7bd1322bb6bde9bcf2b6352ed7b56f0929"}}','38d546249dce7dffba38645c11723bcc0207640d2f5e2c7b469d9e92f9217bf8','5ae6728832e074b66cbdbfcd33b2e4e060d59777088a426ff64e22bc6c5d8f93');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',35,1796288421800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796288421800,"hazard":null,"intent":"end_note","number":null,"source":"voice","started_ms":1796288421000,"words":""}','5ae6728832e074b66cbdbfcd33b2e4e060d59777088a426ff64e22bc6c5d8f93','29805778ccb50c3c258d884c736bb71cefcbefc5f5ce1cfff8659542883c12f3');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',36,1796288421800,'asked',1,35,'{"at_ms":1796288421800,"needs_reason":false,"question":{"what":"finish"},"reason":{"sealed":"a33defa4507df8e114042038d37675925bda0ad30235ce70dc59db65cbf980c2"}}','29805778ccb50c3c258d884c736bb71cefcbefc5f5ce1cfff8659542883c12f3','c2ec44a7d2cb351ada00104ede70141669188e24c2e605ba33aaf19a4d198e00');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',37,1796288430700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796288430700,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796288430300,"words":""}','c2ec44a7d2cb351ada00104ede70141669188e24c2e605ba33aaf19a4d198e00','b7cd6324e517388d130f1147cfafb8c1f4bb82135c90c8eb7b6ce6529cbb6446');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',38,1796288430700,'granted',1,37,'{"what":"finish"}','b7cd6324e517388d130f1147cfafb8c1f4bb82135c90c8eb7b6ce6529cbb6446','d6fb8cbca33095bba60f172a8527f8681aec1af874b30e3e2a8f2b22f3781a8d');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',39,1796288430700,'closed',1,37,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":["lid","rail-cracks","play","wipe","tools-back"],"open_values":[],"reason":{"sealed":"c5051042dd58e215d6819b872a0e6bc3c146852629c415b1ea93ae35ab0ffbe3"}}','d6fb8cbca33095bba60f172a8527f8681aec1af874b30e3e2a8f2b22f3781a8d','4efcae0a2fcf07de2e21ae1d4980549e4a9f5e31503c56c9b215eb4e64ccc978');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-12-03-1',39,'4efcae0a2fcf07de2e21ae1d4980549e4a9f5e31503c56c9b215eb4e64ccc978');
CREATE TABLE job (
    name   TEXT    NOT NULL PRIMARY KEY CHECK (name <> ''),
    bay    TEXT    NOT NULL CHECK (bay <> ''),  -- where it was opened
    number INTEGER NOT NULL UNIQUE CHECK (number >= 1)  -- the order in which jobs were opened
) STRICT, WITHOUT ROWID;
INSERT INTO "job" VALUES('bay1-2026-12-03-1','bay1',1);
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
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',1,'operator','ddc2780bd4848f95ca5be2c262db977d','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',1,'procedure_path','35914d1661cb08adc043674c02983a01','"/tmp/practice-bay-xvuyr34a/lid-and-rail.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',2,'names','c5c6f7fe3eb04637e0a70fdde2a44304','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',33,'words','7762e20a847596ea3c359c06c10663ed','"the clip is ours"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',34,'text','a93ce77145194b6c30d3abea77c73e7b','"the clip is ours"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',36,'reason','cce834a350943c1f4f1e07e51870c03f','"the clip is ours"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',39,'reason','a85b3bf491c7e0fd921974c07af5fe1a','"the clip is ours"');
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
