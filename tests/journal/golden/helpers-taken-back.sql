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
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',1,1796284800000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":{"sealed":"2b2e365b5a08540cf98e0903d40b15f97d96b15c3d83f5b8f56e13e3314fef5d"},"customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"f915b3fc1371b2a2d94cbc0c5217a44353da56e6d1a2bfdb8163e933d71c99fc"},"procedure_file":"gated-tank.yaml","procedure_id":"gated-tank","procedure_path":{"sealed":"a6592c056c2f24d765740b9d71d14f1de5bd1f986d163abcdc80e17cc55040f3"},"procedure_revision":"1","procedure_sha256":"48b863317fded181dadae81c1133413e4cb5d351f598d7ea97e6ca6c160ad889","procedure_yaml":"# All values are invented. Not for use on a vehicle or on any machine.\nprocedure:\n  id: gated-tank\n  title: Fill the practice gearbox\n  revision: 1\n  source: Invented for the practice gearbox of the Alder Row training workshop\n  machine: Practice gearbox on its stand\n  hazard_scheme: ansi\npreliminary:\n  conditions: []\n  persons: [{kind: mechanic, count: 2}]\n  support_equipment:\n    - {id: wrench, name: torque wrench}\n    - {id: crank-pin, name: crank pin}\n    - {id: cam-bar, name: cam bar}\n  supplies:\n    - {id: gear-oil, name: gear oil, quantity: 12, unit: l, specification: practice oil sort two}\n  spares: []\n  safety: []\ngroups:\n  - {id: plug, name: drain plugs, size: ten millimetre, bolts: 1-2}\nchapters:\n  - chapter: Lock\n    steps:\n      - {id: pin-in, do: Push the crank pin in until it stops., lock: crank-pin}\n      - {id: bar-in, do: Lay the cam bar into the slots., lock: cam-bar}\n      - {id: marks, check: Do all marks line up?, gate: yes, witness: yes}\n      - {id: gap, check: Measure the gap at the lid., limits: 0.20 to 0.30 mm, gate: yes}\n      - {id: pin-out, do: Pull the crank pin out., unlock: crank-pin}\n      - {id: bar-out, do: Lift the cam bar out., unlock: cam-bar}\n  - chapter: Fill\n    steps:\n      - id: plugs\n        tighten: Tighten the drain plugs.\n        witness: yes\n        stages: [{torque: 30 N·m, tool: wrench, runs: [{group: plug, bolts: 1-2}]}]\n      - {id: fill, do: Fill in the gear oil., supplies: [gear-oil], amount: 11 l}\n      - id: level\n        check: Is the oil up to the mark on the level pin?\n        picture: level-pin.png\n        gate: yes\n        if no: {steps: [{id: top-up, do: Top up the gear oil.}]}\n      - {id: paint, do: Put a colour mark on both plugs., gate: yes}\nclosing:\n  - {id: leaks, check: Is everything dry below the drain plugs?, witness: yes}\n  - {id: tools-back, check: Are all the tools back in their places?}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Fill the practice gearbox","tools":null}','0000000000000000000000000000000000000000000000000000000000000000','28539ad8f2646dba4f10a60b30f8ae0a38557f3b7a3d4fb59d2671d0c970d494');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',2,1796284800000,'operators_named',1,1,'{"names":{"sealed":"9eb99cce26a5c299faee92a07f8b75757141e863ed3ff553f897bdbecb3b98de"}}','28539ad8f2646dba4f10a60b30f8ae0a38557f3b7a3d4fb59d2671d0c970d494','2a40bd6fff581ad9ddb2b0e0e692a0652d887cc60af5cc01552f39049ab40e17');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',3,1796284800000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','2a40bd6fff581ad9ddb2b0e0e692a0652d887cc60af5cc01552f39049ab40e17','374aa3b4f5f62ee18c43d798ca8e3c5bdb5906cd584a65b72fb8fef57712577d');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',4,1796284800000,'pictures_kept',1,0,'{"pictures":[{"name":"level-pin.png","sha256":"949b5d311f6583eccd6208299f8502e66dd4ccce736a61310c263473c9972b41"}]}','374aa3b4f5f62ee18c43d798ca8e3c5bdb5906cd584a65b72fb8fef57712577d','eef319a8386162cd422b00986577e5b4e6927bd10e62d5ae0674fe9d361e90e4');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',5,1796284814100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796284814100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796284813700,"words":""}','eef319a8386162cd422b00986577e5b4e6927bd10e62d5ae0674fe9d361e90e4','df2c92621eaf44decbc3cdf126e938af6aa6251a4aefe493806bddae12b9c96e');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',6,1796284814100,'prepared',1,5,'{"missing":[],"place":"persons:1","repeated":false}','df2c92621eaf44decbc3cdf126e938af6aa6251a4aefe493806bddae12b9c96e','bbc2d54ed9a8e74ea0cce79adbd2f2877cac06279d9b612156aebae3eeae0be1');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',7,1796284814100,'arrived',1,5,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','bbc2d54ed9a8e74ea0cce79adbd2f2877cac06279d9b612156aebae3eeae0be1','562150ac6b8f204de83a7a3d23ea784f2e93fdc4e8ae1697463da9f247042cab');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',8,1796284819400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796284819400,"hazard":null,"intent":"helper_comes_of","number":"2","source":"voice","started_ms":1796284818200,"words":""}','562150ac6b8f204de83a7a3d23ea784f2e93fdc4e8ae1697463da9f247042cab','69952c45faf208009fc8cc430ef63779fe5aceee1c58e32baae2b9cb7e2031a5');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',9,1796284819400,'helper_came',1,8,'{"at_ms":1796284819400,"name":{"sealed":"c5ff63c7f831d21b7ce54601bd8dda2ebce3d8593f8ad7c224f7cb702b04797b"}}','69952c45faf208009fc8cc430ef63779fe5aceee1c58e32baae2b9cb7e2031a5','1e5ae53763db566b790889eabf74ca0137a2b917926873d4c510eeb5a87af8b4');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',10,1796285121100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285121100,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1796285119900,"words":""}','1e5ae53763db566b790889eabf74ca0137a2b917926873d4c510eeb5a87af8b4','65b89a91e7286f8b91fac59451c92dba2f800b52e34b74883080074bb80c9fb8');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',11,1796285121100,'asked',1,10,'{"at_ms":1796285121100,"needs_reason":false,"question":{"heard_ms":1796284819400,"what":"take_back"},"reason":""}','65b89a91e7286f8b91fac59451c92dba2f800b52e34b74883080074bb80c9fb8','6bce8e8cff61bbe295a6c5f08fb167054dcac2f7cb76088df8422f8f3ef8b0d7');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',12,1796285124800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285124800,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796285124400,"words":""}','6bce8e8cff61bbe295a6c5f08fb167054dcac2f7cb76088df8422f8f3ef8b0d7','991d27ea61970c23a48aa00b9783a5370bd99d4690772293766a4d0c78bb7c99');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',13,1796285124800,'granted',1,12,'{"what":"take_back"}','991d27ea61970c23a48aa00b9783a5370bd99d4690772293766a4d0c78bb7c99','b05e936cc6a51f458fce7a8bfc950bcde74cfa1ebf171fd3db9cd26fd312ebb9');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',14,1796285124800,'taken_back',1,12,'{"by":{"sealed":"a89483c4a9e28fe52c5408de147b2cca89f595637e8acefab28c96e1f8404672"},"confirmed_by":{"sealed":"1796668e459d48ae84b4b749d0c0ac2c4d64d7126a5a6130d24efd9254e50c4b"},"heard_ms":1796284819400,"place":"equipment:1"}','b05e936cc6a51f458fce7a8bfc950bcde74cfa1ebf171fd3db9cd26fd312ebb9','7adbe881287c650ccba17146c6400a58f5b3a4ee54c0cd30ac8f0dde61ae4135');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',15,1796285124800,'helper_as_before',1,12,'{"name":{"sealed":"798d5d5f33fe184641fc828258f1851003405f30b386ed3222a0f2bf23a754f2"},"was":null}','7adbe881287c650ccba17146c6400a58f5b3a4ee54c0cd30ac8f0dde61ae4135','4f33cc9fa0e44c001c2c0345b4459a6a4837eb5df5f69f14243f3dbccedf6f51');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',16,1796285127300,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285127300,"hazard":null,"intent":"helper_comes_of","number":"1","source":"voice","started_ms":1796285126100,"words":""}','4f33cc9fa0e44c001c2c0345b4459a6a4837eb5df5f69f14243f3dbccedf6f51','c95dd01f993b450fd3a401626269596e37e003efef163cf735100a1ed21c731b');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',17,1796285127300,'helper_came',1,16,'{"at_ms":1796285127300,"name":{"sealed":"656512aa20a6c4b25daa7c769edce708553162cee7eb6cb7e26c3624293b9913"}}','c95dd01f993b450fd3a401626269596e37e003efef163cf735100a1ed21c731b','d52cc15bab183d26865b08aa5e3a48afc03250878dde70a606d32ae25210d4b3');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',18,1796285729000,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285729000,"hazard":null,"intent":"helper_leaves_of","number":"1","source":"voice","started_ms":1796285727800,"words":""}','d52cc15bab183d26865b08aa5e3a48afc03250878dde70a606d32ae25210d4b3','d5e03d1654b2b70b5cbe9ae045cba71111efe1fae1b518747f18de1635a396a0');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',19,1796285729000,'helper_left',1,18,'{"at_ms":1796285729000,"name":{"sealed":"fe66ead91fe170b602a27a1914ead7f0fe350617693c6a0f789619f11104c0b2"}}','d5e03d1654b2b70b5cbe9ae045cba71111efe1fae1b518747f18de1635a396a0','0e433893ee5f1cfd60707f72c450d4f26bc3ad257ff90faa591e73c3c39dfcc0');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',20,1796285850700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285850700,"hazard":null,"intent":"take_back","number":null,"source":"voice","started_ms":1796285849500,"words":""}','0e433893ee5f1cfd60707f72c450d4f26bc3ad257ff90faa591e73c3c39dfcc0','4582e94cbe8567f35e3c067b3dca0e8b929e3d69176dcee3dd71ead68f9852c2');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',21,1796285850700,'asked',1,20,'{"at_ms":1796285850700,"needs_reason":false,"question":{"heard_ms":1796285729000,"what":"take_back"},"reason":""}','4582e94cbe8567f35e3c067b3dca0e8b929e3d69176dcee3dd71ead68f9852c2','38a549bc0a2797183596806664a57a9731feb7186617b3b9c306fbfb92ca56fe');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',22,1796285854800,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285854800,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1796285854400,"words":""}','38a549bc0a2797183596806664a57a9731feb7186617b3b9c306fbfb92ca56fe','682bf17469a98c776f157c2367115ee9117df21048b689c09222cc928fba428a');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',23,1796285854800,'granted',1,22,'{"what":"take_back"}','682bf17469a98c776f157c2367115ee9117df21048b689c09222cc928fba428a','8c36e430c82c4fc5ed5f7ebd594804e7d23b0a20a50b41e897544296b2e0e4df');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',24,1796285854800,'taken_back',1,22,'{"by":{"sealed":"7b0fc96f5a4b7fabb81286db3ef2c71a2a6204774cb23a6664229815a19eabb0"},"confirmed_by":{"sealed":"5aac09c1342095d73109acd9181408bef79ca04823d775106ac5a285edd2afb7"},"heard_ms":1796285729000,"place":"equipment:1"}','8c36e430c82c4fc5ed5f7ebd594804e7d23b0a20a50b41e897544296b2e0e4df','5390708ab8ffb5981f9d5fe32ffe7bd066bcd05467ba2710e626fcd5939dc092');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',25,1796285854800,'helper_as_before',1,22,'{"name":{"sealed":"087c98a5821cff6fc8fc0f2c89f5104e323a38ad9ccef8dedf181961851ff69e"},"was":{"away_ms":0,"ms":0,"since_ms":1796285127300}}','5390708ab8ffb5981f9d5fe32ffe7bd066bcd05467ba2710e626fcd5939dc092','79440e74e0cdbdfea137e15c6e0259419cb9dffd026017681ba78b1a6162c0bc');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',26,1796285856500,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285856500,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1796285856100,"words":""}','79440e74e0cdbdfea137e15c6e0259419cb9dffd026017681ba78b1a6162c0bc','0664856d51be3975cfa9b7d7d9c1747c86c4db103d9538bea810727b1272511a');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',27,1796285856500,'prepared',1,26,'{"missing":[],"place":"equipment:1","repeated":false}','0664856d51be3975cfa9b7d7d9c1747c86c4db103d9538bea810727b1272511a','6486c90e80faf01884c77493545f9abc9be71306dd629090e9be83c503a83cae');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',28,1796285856500,'arrived',1,26,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"supplies:1"}','6486c90e80faf01884c77493545f9abc9be71306dd629090e9be83c503a83cae','87130ad85e29bb8ce79d0c8c61e205880f3fe9828b4a066145b90dd2ea740815');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',29,1796285860600,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285860600,"hazard":null,"intent":"time_spent","number":null,"source":"voice","started_ms":1796285859400,"words":""}','87130ad85e29bb8ce79d0c8c61e205880f3fe9828b4a066145b90dd2ea740815','65812f66b3ab8d30e9df4c364210431ea8550e2db9f1feb8888e9a6c7b08ad35');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',30,1796285866700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1796285866700,"hazard":null,"intent":"pause","number":null,"source":"voice","started_ms":1796285866300,"words":""}','65812f66b3ab8d30e9df4c364210431ea8550e2db9f1feb8888e9a6c7b08ad35','62207704b0e33e98165a552e86bdfbfe240a318f83f98eba797fc6da33aeba87');
INSERT INTO "entry" VALUES('bay1-2026-12-03-1',31,1796285866700,'paused',1,30,'{}','62207704b0e33e98165a552e86bdfbfe240a318f83f98eba797fc6da33aeba87','b2aa96603cc5294961ff1424f9eac579bd6dd4207ec7500d6374314cfc068662');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-12-03-1',31,'b2aa96603cc5294961ff1424f9eac579bd6dd4207ec7500d6374314cfc068662');
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
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',1,'asset','1c18592558a1a02edffa3d9839d48b7f','"Stand 2"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',1,'operator','ba269e4332b5543c12e681a20f1b9d27','"A. Reed, Ben Fisher, C. Hall"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',1,'procedure_path','74871bbb852460de5a46c978ba4c7aa8','"/tmp/practice-bay-t23l0sd4/gated-tank.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',2,'names','74968a7c0a6ca85920450841e814a5f4','"A. Reed, Ben Fisher, C. Hall"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',9,'name','3e598826f47f86c79de1ac4ec9a01833','"C. Hall"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',14,'by','4468ec277705f9c09f8ac48343c248f4','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',14,'confirmed_by','693880dfa88a02fab8c73ca6298990e0','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',15,'name','9b4b881f54273d5027c57e327b4ccf52','"C. Hall"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',17,'name','8886b98ec96c961389b4b45009efdb4a','"Ben Fisher"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',19,'name','777270811bb81da0ab0807c4247d49b2','"Ben Fisher"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',24,'by','f119c86ab18e0afa1367ba06dcea64b6','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',24,'confirmed_by','30a6c3e7ab05997b1d73037ccbe741a1','"A. Reed"');
INSERT INTO "personal" VALUES('bay1-2026-12-03-1',25,'name','00dfced415c251dd646cad01ffb93f9e','"Ben Fisher"');
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
