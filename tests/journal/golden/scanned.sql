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
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',1,1795766400000,'opened',1,0,'{"approved":"no","approved_by":"","approved_on":"","asset":{"sealed":"b24494ad34138747278054990626a452839a4acf374a274885cd2894f8cd52f2"},"customer":"","keep_audio":false,"meter":null,"meter_note":"","meter_restart":false,"operator":{"sealed":"51a72fc8cd91630dc96fd515b9bb00abfb6144856c77ce1c1bb4c02e170b5de2"},"procedure_file":"scanned-parts.yaml","procedure_id":"scanned-parts","procedure_path":{"sealed":"1cb2bb4a29fcb5857b974e1752ef66c08c238a2b55c9f6cd6f3e872e79043676"},"procedure_revision":"1","procedure_sha256":"305d8087575c371ea9afca55f522ef1155536a031d9eae15030ef4fe81567689","procedure_yaml":"# All values in this file are invented for practice and for tests. Do not use it on a vehicle or on any real machine.\nprocedure:\n  {id: scanned-parts, title: Lid of a practice stand, revision: 1, source: Invented for the tests,\n   machine: Practice stand on a bench, hazard_scheme: ansi}\npreliminary:\n  conditions: [The stand is bolted to the bench.]\n  persons: [{kind: mechanic, count: 1}]\n  support_equipment:\n    - {id: wrench, name: torque wrench}\n  supplies:\n    - {id: grease, name: practice grease, quantity: 1, unit: tube, part_number: \"09501101530003\"}\n  spares:\n    - {id: seal, name: lid seal, single_use: \"yes\", part_number: PX-1001}\n    - {id: ring, name: plug ring, single_use: \"yes\", part_number: PX-1002}\n    - {id: clip-a, name: left clip, quantity: 1, part_number: PX-2000}\n    - {id: clip-b, name: right clip, quantity: 1, part_number: PX-2000}\n  safety: []\ngroups:\n  - {id: lid, name: lid bolts, size: ten millimetre, bolts: 1-4}\nchapters:\n  - chapter: Tighten\n    steps:\n      - {id: seal-on, fit: Fit the new lid seal., spare: seal, supplies: [grease]}\n      - {id: ring-on, fit: Fit the new plug ring., spare: ring}\n      - id: lid-tight\n        tighten: Tighten the lid.\n        stages:\n          - {torque: 45 N·m, runs: [{group: lid, bolts: 1-4}]}\nclosing:\n  - {id: tools-back, check: \"Are all the tools back in their places?\"}\n","program":"0.1.0","rehearsal":true,"start":null,"title":"Lid of a practice stand","tools":{"clicks":{},"name":"practice-bay.yaml","sha256":"c2045a34bbfad33bbbe5586378f21f461bae4a53476293674ac720c38b50db8a","yaml":"# The tools of the practice bay. All values in this file are invented; do not use it as the tool file of a real bay.\n# A real one is written from the tools in the drawer and their calibration certificates: see docs/tools.md.\nwrenches:\n  - id: small-wrench\n    name: small wrench\n    type: II A\n    unit: N·m\n    low: 5\n    high: 50\n    graduation: 0.5\n    lever: 250 mm\n    calibrated: 2026-05-04\n    uses: 240\n  - id: large-wrench\n    name: large wrench\n    type: II A\n    unit: N·m\n    low: 40\n    high: 200\n    graduation: 1\n    lever: 450 mm\n    calibrated: 2026-05-04\n    uses: 1310\n  - id: pound-wrench\n    name: pound wrench\n    type: II A\n    unit: lbf·ft\n    low: 5\n    high: 75\n    graduation: 0.5\n    lever: 300 mm\n    calibrated: 2026-02-16\n    uses: 95\nmultipliers:\n  - {id: multiplier, name: torque multiplier, torque_ratio: 4.5, gear_ratio: 5, rated_output: 1300 N·m, accuracy: 4}\nadapters:\n  - {id: crowfoot, name: crowfoot, length: 35 mm}\n  - {id: long-crowfoot, name: long crowfoot, length: 60 mm}\ngauges:\n  - {id: angle-gauge, name: angle gauge, graduation: 2°}\nsockets:\n  - {id: socket-ten, name: ten millimetre socket, size: 10 mm}\n  - {id: bit-fifty, name: star bit, size: T50}\n"}}','0000000000000000000000000000000000000000000000000000000000000000','484cb5f8432405c31a7cc00303520dd43ecff66dc89bd51423a0db5afedc56c0');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',2,1795766400000,'operators_named',1,1,'{"names":{"sealed":"2b6cc5c82ac3b099042ff834520b17d2d640aeef12f39780549a879cd3eb05ac"}}','484cb5f8432405c31a7cc00303520dd43ecff66dc89bd51423a0db5afedc56c0','a4331532433255aee8041e0e30ba82ed0198d164b072edf0b41c2442f6cfaf1d');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',3,1795766400000,'arrived',1,1,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"conditions:1"}','a4331532433255aee8041e0e30ba82ed0198d164b072edf0b41c2442f6cfaf1d','0cf464506a84d7f0c3f38a61f7b325b9f7af12cac99fa375e73d6a264722ccd7');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',4,1795766416000,'scanned',1,0,'{"doubt":null,"names":[],"source":"keys","text":{"sealed":"c1ce3b3aeb334078501125b97a4809b378bc39dad319b69878575d0848b659e1"},"what":"machine"}','0cf464506a84d7f0c3f38a61f7b325b9f7af12cac99fa375e73d6a264722ccd7','2518c302eccd2e339e2d1469ef7a19ccd9c4c93302f00785ca176da55176dfa9');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',5,1795766416000,'machine_seen',1,4,'{"same":true}','2518c302eccd2e339e2d1469ef7a19ccd9c4c93302f00785ca176da55176dfa9','ef7da7ce5b8838620c556f99f1227975336bebb996cef70b53764a5153ca8265');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',6,1795766418800,'scanned',1,0,'{"doubt":"not_checked","names":[],"source":"keys","text":{"sealed":"8ca95fd99666254757d999bfec14154bc0c9438ee1aee85ae6e67009d454332e"},"what":"machine"}','ef7da7ce5b8838620c556f99f1227975336bebb996cef70b53764a5153ca8265','533d86ad14f246e955cc6ba058536cc62bb7fca3becd0e9813cb92cfc63792af');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',7,1795766418800,'machine_seen',1,6,'{"same":false}','533d86ad14f246e955cc6ba058536cc62bb7fca3becd0e9813cb92cfc63792af','07c5fccf2aba8e160392ed5415ce6eac12efa81d72cf7763df129aaff8e1d09f');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',8,1795766431700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766431700,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766431300,"words":""}','07c5fccf2aba8e160392ed5415ce6eac12efa81d72cf7763df129aaff8e1d09f','bfc5f5f7d6e0864140f81508a0a4c4ff3776de4f6bf5b081c0e56993a221ef23');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',9,1795766431700,'prepared',1,8,'{"missing":[],"place":"conditions:1","repeated":false}','bfc5f5f7d6e0864140f81508a0a4c4ff3776de4f6bf5b081c0e56993a221ef23','61ea8e744730a25492e7600f621a1248a7e6586013e9e8a8ccbd14d2e2c17ea6');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',10,1795766431700,'arrived',1,8,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"persons:1"}','61ea8e744730a25492e7600f621a1248a7e6586013e9e8a8ccbd14d2e2c17ea6','d4ce9826712023c2c640e0ff4e07d967b728257ed4c00361b0f829ddad654aa7');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',11,1795766434200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766434200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766433800,"words":""}','d4ce9826712023c2c640e0ff4e07d967b728257ed4c00361b0f829ddad654aa7','d78dbd677bd9948adc7376143df131b8be3b21dc96b82e4b5c0ae5a87091a889');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',12,1795766434200,'prepared',1,11,'{"missing":[],"place":"persons:1","repeated":false}','d78dbd677bd9948adc7376143df131b8be3b21dc96b82e4b5c0ae5a87091a889','22f4df2cf56615c8af54e32b082231359dd4653a2735c7b21e7f482f55935d04');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',13,1795766434200,'arrived',1,11,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"equipment:1"}','22f4df2cf56615c8af54e32b082231359dd4653a2735c7b21e7f482f55935d04','a2f902284958eda3c68e41c4edcb72f6b6c6175ebcef46ca1a1eaf0a5a749818');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',14,1795766437100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766437100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766436700,"words":""}','a2f902284958eda3c68e41c4edcb72f6b6c6175ebcef46ca1a1eaf0a5a749818','192bcc4bb2094b264fb277ce76dc9699fd8266eaa1bc21bf1c70e07f38a7694e');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',15,1795766437100,'prepared',1,14,'{"missing":[],"place":"equipment:1","repeated":false}','192bcc4bb2094b264fb277ce76dc9699fd8266eaa1bc21bf1c70e07f38a7694e','7e38f09ddf043251774db262a8a5d9df662239a59d3b48b7253369a985a763d7');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',16,1795766437100,'arrived',1,14,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"supplies:1"}','7e38f09ddf043251774db262a8a5d9df662239a59d3b48b7253369a985a763d7','f68e4ba2bbdc1ff45ef4f4383af34fa9930f42128ba4ca4d5416d6294888aa24');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',17,1795766439500,'scanned',1,0,'{"doubt":null,"names":["grease"],"source":"keys","text":{"sealed":"116568c5f54d09203d42f4e634fcaf8c82f356304c1351b823aaa63d3e927187"},"what":"part"}','f68e4ba2bbdc1ff45ef4f4383af34fa9930f42128ba4ca4d5416d6294888aa24','b04fecb08895de56a2e4dd1b2aa03bf3e3e31ac8d3d42e909db0ef780486d41b');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',18,1795766439500,'part_here',1,17,'{"item":"grease","number":1,"place":"supplies:1"}','b04fecb08895de56a2e4dd1b2aa03bf3e3e31ac8d3d42e909db0ef780486d41b','e35d24b4c2a50d7bfd6c1868b422b050e862ed7e41c19403c229ced634b47d9d');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',19,1795766445200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766445200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766444800,"words":""}','e35d24b4c2a50d7bfd6c1868b422b050e862ed7e41c19403c229ced634b47d9d','956d39a04ac5a5a1c2507e3af6aa500fd3300dfd3307e5b41afde8f8513dbe69');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',20,1795766445200,'prepared',1,19,'{"missing":[],"place":"supplies:1","repeated":false}','956d39a04ac5a5a1c2507e3af6aa500fd3300dfd3307e5b41afde8f8513dbe69','99b6ca55e922adbc55516cb7edfbdbf6629e0342258b28450296b267b5933c37');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',21,1795766445200,'arrived',1,19,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"spares:1"}','99b6ca55e922adbc55516cb7edfbdbf6629e0342258b28450296b267b5933c37','57317384f62a789ea0615ee5bda674cef98d403187b58217066e24931c9a2c2e');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',22,1795766450900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766450900,"hazard":null,"intent":"missing","number":null,"source":"voice","started_ms":1795766450500,"words":""}','57317384f62a789ea0615ee5bda674cef98d403187b58217066e24931c9a2c2e','511adc898c80780cc045346de432b2da6511d2c13c30c0b7aa058155326f6f04');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',23,1795766450900,'thing_asked',1,22,'{"number":1,"place":"spares:1"}','511adc898c80780cc045346de432b2da6511d2c13c30c0b7aa058155326f6f04','4643325cfed48cdb62665475df507e9314190e165801de9a31bc560abb55de4f');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',24,1795766458200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766458200,"hazard":null,"intent":"missing","number":null,"source":"voice","started_ms":1795766457800,"words":""}','4643325cfed48cdb62665475df507e9314190e165801de9a31bc560abb55de4f','f623560daf5aaa0a05bbf7c3e057591283a118b0a535c16216a3ab9d220683b6');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',25,1795766458200,'item_missing',1,24,'{"number":1,"place":"spares:1"}','f623560daf5aaa0a05bbf7c3e057591283a118b0a535c16216a3ab9d220683b6','67c93ba34b925465be6bd675d1c5fc635ba38a07a5467a08c830437b11637370');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',26,1795766458200,'thing_asked',1,24,'{"number":2,"place":"spares:1"}','67c93ba34b925465be6bd675d1c5fc635ba38a07a5467a08c830437b11637370','7738b73c540de11d36ef3d562d4374bb9d31646fb6635a8fc6c2cd942dd2b664');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',27,1795766461900,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766461900,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766461500,"words":""}','7738b73c540de11d36ef3d562d4374bb9d31646fb6635a8fc6c2cd942dd2b664','70fe84eb23b850da30fe5d6a5e7e014dcd5b1db0621bd730a166a6d5516b8ca9');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',28,1795766461900,'thing_asked',1,27,'{"number":3,"place":"spares:1"}','70fe84eb23b850da30fe5d6a5e7e014dcd5b1db0621bd730a166a6d5516b8ca9','b78f96b6450231fb1581d42898f1431c1d996a970ef161bab82a229aa2b6249f');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',29,1795766462700,'scanned',1,0,'{"doubt":null,"names":["seal"],"source":"keys","text":{"sealed":"dac5317955b228e51034987c065dcf281baf1e97c835ec5cafe14ba6283e0a23"},"what":"part"}','b78f96b6450231fb1581d42898f1431c1d996a970ef161bab82a229aa2b6249f','e714edc24e8bb5b335fe008322940d8537dd1db9b17d6da8f7dfa968105367d9');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',30,1795766462700,'item_found',1,29,'{"number":1,"place":"spares:1"}','e714edc24e8bb5b335fe008322940d8537dd1db9b17d6da8f7dfa968105367d9','62681fdccfab1d8dd0860c0af2ca95f60bdece31ca9c27a2ae8493c6e0b8fd91');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',31,1795766462700,'part_here',1,29,'{"item":"seal","number":1,"place":"spares:1"}','62681fdccfab1d8dd0860c0af2ca95f60bdece31ca9c27a2ae8493c6e0b8fd91','1dad54b565cbd77bc40f3348313353a86e80de3222ff9e13304e4f2a700fd0e3');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',32,1795766466400,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766466400,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766466000,"words":""}','1dad54b565cbd77bc40f3348313353a86e80de3222ff9e13304e4f2a700fd0e3','af0029c7174ff7896d69b25e16918307467316d8e2d2322b7de6acec8dfba65d');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',33,1795766466400,'thing_asked',1,32,'{"number":4,"place":"spares:1"}','af0029c7174ff7896d69b25e16918307467316d8e2d2322b7de6acec8dfba65d','d8a4e9d903b431e9c74734aad60d2d2a6ff373ab9c47d7ed34065bfe2725f324');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',34,1795766468100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766468100,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766467700,"words":""}','d8a4e9d903b431e9c74734aad60d2d2a6ff373ab9c47d7ed34065bfe2725f324','d76fb74da220b5ce8fd228f82be794543bd1b8074c01f9d9bc119b0731cb5bc7');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',35,1795766468100,'prepared',1,34,'{"missing":[],"place":"spares:1","repeated":false}','d76fb74da220b5ce8fd228f82be794543bd1b8074c01f9d9bc119b0731cb5bc7','eced005201cfc2bdc0c0ec941cc654c080876b2a9c63f905c9da7346a55823bc');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',36,1795766468100,'arrived',1,34,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"seal-on"}','eced005201cfc2bdc0c0ec941cc654c080876b2a9c63f905c9da7346a55823bc','ecb3c097a0f3b781d48860a2c9dc9627a66de580f37127c486a8ff1f32f78a72');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',37,1795766475700,'scanned',1,0,'{"doubt":null,"names":["clip-a"],"source":"keys","text":{"sealed":"41053855f9da3e132374ca0bb04e925003e042978173c182c080c281997ce07c"},"what":"part"}','ecb3c097a0f3b781d48860a2c9dc9627a66de580f37127c486a8ff1f32f78a72','4c3f7a63f7112601da86690529136b8e231cb7ec06d9557e51d19f3310d352b5');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',38,1795766475700,'part_here',1,37,'{"item":"clip-a","number":3,"place":"spares:1"}','4c3f7a63f7112601da86690529136b8e231cb7ec06d9557e51d19f3310d352b5','e9eb397a83a9485eed5a020cb0b7b6c298ab9a5397f35177154f6c7b4faab6cd');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',39,1795766476900,'scanned',1,0,'{"doubt":null,"names":[],"source":"keys","text":{"sealed":"2b1906e339bb24e056efff218c8646b78ec36025dc4dacd63f9ff81dff465b34"},"what":"unknown"}','e9eb397a83a9485eed5a020cb0b7b6c298ab9a5397f35177154f6c7b4faab6cd','ecbd722baa8326cbc419e8de65ff119f5f387b94942b06fc74884ee1d5c8e9e9');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',40,1795766482500,'scanned',1,0,'{"doubt":null,"names":[],"source":"keys","text":{"sealed":"b421f1fe5245b67fe295549aca439e8e2af5dc6a05e8cdb64e70d8b8c698bd6b"},"what":"unknown"}','ecbd722baa8326cbc419e8de65ff119f5f387b94942b06fc74884ee1d5c8e9e9','26f7a6fc771da3b2955408c1ef169e5d6e710bdf03cfef7fdbc54930ce955630');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',41,1795766492200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766492200,"hazard":null,"intent":"count","number":"1","source":"voice","started_ms":1795766491400,"words":""}','26f7a6fc771da3b2955408c1ef169e5d6e710bdf03cfef7fdbc54930ce955630','8253f2ac1127a66bc82c890d49c30ac4932040acc89a91abc7b109c5fb2b4098');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',42,1795766492200,'part_fitted',1,41,'{"count":1,"expected":1,"repeated":false,"spare":"seal","step":"seal-on"}','8253f2ac1127a66bc82c890d49c30ac4932040acc89a91abc7b109c5fb2b4098','25899c0d007e717b0ee3682ecc40e3ffd7898e7700e5278f7f4958dda1d2d94a');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',43,1795766492200,'step_done',1,41,'{"repeated":false,"step":"seal-on"}','25899c0d007e717b0ee3682ecc40e3ffd7898e7700e5278f7f4958dda1d2d94a','99eb56f168f8b2a06d9b66283b613dcf842e2ec1d7a28896f7b9c9249595c4ee');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',44,1795766492200,'arrived',1,41,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"ring-on"}','99eb56f168f8b2a06d9b66283b613dcf842e2ec1d7a28896f7b9c9249595c4ee','8634f0b4fdc9e6019c742260d966c79b8871f05792e3a09c56f153f3adecfdff');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',45,1795766496700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766496700,"hazard":null,"intent":"count","number":"1","source":"voice","started_ms":1795766495900,"words":""}','8634f0b4fdc9e6019c742260d966c79b8871f05792e3a09c56f153f3adecfdff','5e57b2b73b4790fa8815c941480215d60373a655a4d5c6c9db6276057757f68d');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',46,1795766496700,'part_fitted',1,45,'{"count":1,"expected":1,"repeated":false,"spare":"ring","step":"ring-on"}','5e57b2b73b4790fa8815c941480215d60373a655a4d5c6c9db6276057757f68d','f2859ba72c6218234d800bad377eb17d1f07c9f3cfb6f46c211ed10e8a781b3e');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',47,1795766496700,'step_done',1,45,'{"repeated":false,"step":"ring-on"}','f2859ba72c6218234d800bad377eb17d1f07c9f3cfb6f46c211ed10e8a781b3e','59a6829c291113a0d7a801e4dc829d4b5437e87845f2b597cd170f50bb61ec5e');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',48,1795766496700,'arrived',1,45,'{"bolt":{"bolt":1,"run":1,"turn":1},"bolts_anew":false,"hazards_anew":false,"place":"lid-tight"}','59a6829c291113a0d7a801e4dc829d4b5437e87845f2b597cd170f50bb61ec5e','bde741aba929bf10f1f58b3cb5aa31438a1b0de7d01b228a204af9527048b089');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',49,1795766496700,'tools_chosen',1,45,'{"changes":0,"choices":[{"accuracy":"4.0","adapter":null,"at_bolt":{"unit":"N·m","value":"45.00"},"group":"lid","multiplier":null,"run":1,"setting":{"unit":"N·m","value":"45.0"},"tool":"small-wrench"}],"clicks":{},"day":20784,"faults":[],"first":[],"gauge":null,"stage":1,"step":"lid-tight","turn":1,"unit":"","warnings":[]}','bde741aba929bf10f1f58b3cb5aa31438a1b0de7d01b228a204af9527048b089','a2ef884b8891932dd8254e11ac7b8483698303636f4a60ce01a7c19d47714d58');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',50,1795766503900,'scanned',1,0,'{"doubt":null,"names":["large-wrench"],"source":"keys","text":{"sealed":"8a2fbe15e3d0c0d89f4625dc5b55916a7a8db921fdd06eac863170347184c876"},"what":"tool"}','a2ef884b8891932dd8254e11ac7b8483698303636f4a60ce01a7c19d47714d58','887d8aa73f9b52b20a1612675c24c22c389a9d26234a46cfc96ad6fdd119bf28');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',51,1795766503900,'tool_taken',1,50,'{"stands":"now","tool":"large-wrench"}','887d8aa73f9b52b20a1612675c24c22c389a9d26234a46cfc96ad6fdd119bf28','266620c98ce7b38b0417294213360e4b20bd06ebdc72c5082c0b4798f0d657d2');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',52,1795766503900,'tools_chosen',1,50,'{"changes":0,"choices":[{"accuracy":"4.0","adapter":null,"at_bolt":{"unit":"N·m","value":"45.00"},"group":"lid","multiplier":null,"run":1,"setting":{"unit":"N·m","value":"45"},"tool":"large-wrench"}],"clicks":{},"day":20784,"faults":[],"first":[],"gauge":null,"stage":1,"step":"lid-tight","turn":1,"unit":"","warnings":[]}','266620c98ce7b38b0417294213360e4b20bd06ebdc72c5082c0b4798f0d657d2','5200244e567dfd214f7a1293c07e6892dce1eafbfdf06e1db9bfb3015963ba12');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',53,1795766508700,'scanned',1,0,'{"doubt":null,"names":["large-wrench"],"source":"keys","text":{"sealed":"e87c50acf1d4c45f21896eb2f4a4680bf27fe82bb73527fa6020d3271d0ea3fc"},"what":"tool"}','5200244e567dfd214f7a1293c07e6892dce1eafbfdf06e1db9bfb3015963ba12','29a437e7ff3f1eed86fe5185c5df51e0c80b4eae56ef7a0418acd9f1178fe9e0');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',54,1795766508700,'tool_taken',1,53,'{"stands":"chosen","tool":"large-wrench"}','29a437e7ff3f1eed86fe5185c5df51e0c80b4eae56ef7a0418acd9f1178fe9e0','7d4ac824387b32980e4de3fc093788606a8b2d913457a04e2df837a6367488a5');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',55,1795766511900,'scanned',1,0,'{"doubt":null,"names":["crowfoot"],"source":"keys","text":{"sealed":"f0f5a042a6cc3e44490aa7d4acd07538c1ccdc4810dbc5e0401c1c80e4864a3d"},"what":"tool"}','7d4ac824387b32980e4de3fc093788606a8b2d913457a04e2df837a6367488a5','bf2637465ae6582b16f4b9b3a56700ccfecd7b2ae48523df38e0bd281eb14084');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',56,1795766511900,'tool_taken',1,55,'{"stands":"cannot","tool":"crowfoot"}','bf2637465ae6582b16f4b9b3a56700ccfecd7b2ae48523df38e0bd281eb14084','bc417155e10eda000705cdf8fc66c8b30cc1a68988244505dc9462b16e6e7447');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',57,1795766517200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766517200,"hazard":null,"intent":"next","number":null,"source":"voice","started_ms":1795766516800,"words":""}','bc417155e10eda000705cdf8fc66c8b30cc1a68988244505dc9462b16e6e7447','197fd184a0e678492a1dd2d5ae30875dcc267c7ac73daea5d5f6d19790f881b1');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',58,1795766517200,'tightened',1,57,'{"adapter":null,"at_ms":1795766517200,"bolts":[1,2,3,4],"clicks":4,"drag":null,"group":"lid","limits":{"high":null,"low":null},"multiplier":null,"reading":null,"repeated":false,"run":1,"setting":{"unit":"N·m","value":"45"},"single":false,"stage":1,"step":"lid-tight","target":{"unit":"N·m","value":"45"},"tolerance":null,"tool":"large-wrench","turn":1,"verdict":null,"way":"torque"}','197fd184a0e678492a1dd2d5ae30875dcc267c7ac73daea5d5f6d19790f881b1','13e85ef06df66332038b24b756b712b33e0e91c2f7c4e58f2804e4c4fe3b033f');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',59,1795766517200,'stage_done',1,57,'{"not_tightened":[],"stage":1,"step":"lid-tight","turn":1}','13e85ef06df66332038b24b756b712b33e0e91c2f7c4e58f2804e4c4fe3b033f','8b6218635c830b22be2a23340b7e096eff9e7906a8c713070c40e80373f9a3da');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',60,1795766517200,'reached',1,57,'{"bolt":null,"step":"lid-tight"}','8b6218635c830b22be2a23340b7e096eff9e7906a8c713070c40e80373f9a3da','c86096fd6f2f6010509ac2db817f0f6653b70bba27c5b761781c4b7695d79017');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',61,1795766517200,'step_done',1,57,'{"repeated":false,"step":"lid-tight"}','c86096fd6f2f6010509ac2db817f0f6653b70bba27c5b761781c4b7695d79017','73b8288c754ee7382687b8398f64927bb8ca46c02e2a15440ba6851d11c3835b');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',62,1795766517200,'arrived',1,57,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"tools-back"}','73b8288c754ee7382687b8398f64927bb8ca46c02e2a15440ba6851d11c3835b','a56d690503991dee891c8da1db2850f304de7f7db76ac11907d6873920857429');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',63,1795766524000,'scanned',1,0,'{"doubt":null,"names":["small-wrench"],"source":"keys","text":{"sealed":"365aa1ebfd3660cc3f32499a8d6e03e56bd2a77b4997ef62301b7429801e3212"},"what":"tool"}','a56d690503991dee891c8da1db2850f304de7f7db76ac11907d6873920857429','374a1a47f33ec7a3f8dd73df8478db3f94272c37591e4ec6612f915e516eb3b0');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',64,1795766524000,'tool_taken',1,63,'{"stands":"no_bolts","tool":"small-wrench"}','374a1a47f33ec7a3f8dd73df8478db3f94272c37591e4ec6612f915e516eb3b0','2a5619d119d459e3e6d1635b26836ff6067b947d8d3419f9a0ec8b17af810b3c');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',65,1795766525700,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766525700,"hazard":null,"intent":"yes","number":null,"source":"voice","started_ms":1795766525300,"words":""}','2a5619d119d459e3e6d1635b26836ff6067b947d8d3419f9a0ec8b17af810b3c','9d0788fef71340b91b42203204497e618ec78e5403695e6a059546b085beb702');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',66,1795766525700,'check_answered',1,65,'{"expected":true,"repeated":false,"step":"tools-back","yes":true}','9d0788fef71340b91b42203204497e618ec78e5403695e6a059546b085beb702','9793b30755cb9c9bff8cd824ce1111b76ae48277abab70403abd4a2ca58f7459');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',67,1795766525700,'step_done',1,65,'{"repeated":false,"step":"tools-back"}','9793b30755cb9c9bff8cd824ce1111b76ae48277abab70403abd4a2ca58f7459','d402df4b5afae72ad1941f941fb9b8d4dcb399eb2f33a152f8c07a90890c5107');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',68,1795766525700,'arrived',1,65,'{"bolt":null,"bolts_anew":false,"hazards_anew":false,"place":"end"}','d402df4b5afae72ad1941f941fb9b8d4dcb399eb2f33a152f8c07a90890c5107','a9666b3737e5f323491c8ad53f5b68d18a717c84e9bc51770ea96e0b245a5724');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',69,1795766530200,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766530200,"hazard":null,"intent":"finish","number":null,"source":"voice","started_ms":1795766529400,"words":""}','a9666b3737e5f323491c8ad53f5b68d18a717c84e9bc51770ea96e0b245a5724','b528915670f72da8af0651c4f31695508f235a6f8ce0f2d06f885fab57eae104');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',70,1795766530200,'asked',1,69,'{"at_ms":1795766530200,"needs_reason":false,"question":{"what":"finish"},"reason":""}','b528915670f72da8af0651c4f31695508f235a6f8ce0f2d06f885fab57eae104','0c5723e605c1af79d226ff8e79fb197d727fbe740c6d4a458d92b04f8b39f427');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',71,1795766533100,'heard',1,0,'{"clarity":"phrase","confidence":"1.000","ended_ms":1795766533100,"hazard":null,"intent":"confirmed","number":null,"source":"voice","started_ms":1795766532700,"words":""}','0c5723e605c1af79d226ff8e79fb197d727fbe740c6d4a458d92b04f8b39f427','fbab9519d0e7c1988ab8980694d0236005f6cbf140e1fbe0a7aa60224e63819f');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',72,1795766533100,'granted',1,71,'{"what":"finish"}','fbab9519d0e7c1988ab8980694d0236005f6cbf140e1fbe0a7aa60224e63819f','91446967d3910c3b0abcc32a0e42cfa581a1be5f81c7e014ed0843cd940b7fd9');
INSERT INTO "entry" VALUES('bay1-2026-11-27-1',73,1795766533100,'closed',1,71,'{"left_out":[],"open_answers":[],"open_bolts":[],"open_counts":[],"open_parts":[],"open_problems":[],"open_stages":[],"open_steps":[],"open_values":[],"reason":""}','91446967d3910c3b0abcc32a0e42cfa581a1be5f81c7e014ed0843cd940b7fd9','d5e1ba65257d125a5b721712a4d3cb5dc2269f08feaae5e7238cf7b6f2790eb0');
CREATE TABLE head (
    job  TEXT    NOT NULL PRIMARY KEY REFERENCES job (name),
    seq  INTEGER NOT NULL CHECK (seq >= 1),
    hash TEXT    NOT NULL CHECK (length(hash) = 64)
) STRICT, WITHOUT ROWID;
INSERT INTO "head" VALUES('bay1-2026-11-27-1',73,'d5e1ba65257d125a5b721712a4d3cb5dc2269f08feaae5e7238cf7b6f2790eb0');
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
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'asset','db547e6a3e7fffee2ab343ae80f10594','"Practice stand 1111-1111-1111-1111-1"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'operator','b7a593e2486452d84062daeb66fc4fb2','"D. Moss"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',1,'procedure_path','aba09244032f947dc4d7fe97fee986ee','"/tmp/practice-bay-yq91owlb/scanned-parts.yaml"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',2,'names','340951645ab6f417126aa2c5295c937b','"D. Moss"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',4,'text','6f2941a62dbaff84072adcadf28c0ec8','"11111111111111111"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',6,'text','3a4ea2eea9f8779519b510380f02937b','"XA1AA1AA0AA111111"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',17,'text','df79bc46b6a99a68434481b542f62ecf','"9501101530003"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',29,'text','6117a556e24e4c4393c7235082bfd7aa','"PX-1001"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',37,'text','0c9586cc0def3bcd3023fb96d68abc73','"PX-2000"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',39,'text','fd2a8bdee70495311ab09c34740a39ba','"y"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',40,'text','382823d1fe8932725e09fc3f30a15970','"1111111111111111"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',50,'text','033cae77705883f58981cd1df7c793d2','"TOOL large-wrench"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',53,'text','e4f8897a1079f52a6b05cbc056c4e22b','"TOOL large-wrench"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',55,'text','917f20428a444a9233d7ed7be60f0f4f','"TOOL crowfoot"');
INSERT INTO "personal" VALUES('bay1-2026-11-27-1',63,'text','3c70dac93e73311a37ffbf05ffc181c8','"TOOL small-wrench"');
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
