-- A book as a program of version 1 wrote it: something of everything.
BEGIN TRANSACTION;
CREATE TABLE air_reading (
	batch_seq INTEGER NOT NULL, 
	at_ms INTEGER NOT NULL, 
	temp_c REAL NOT NULL, 
	rh REAL NOT NULL, 
	PRIMARY KEY (batch_seq, at_ms), 
	CONSTRAINT temp_range CHECK (temp_c BETWEEN -30.0 AND 70.0), 
	CONSTRAINT rh_range CHECK (rh BETWEEN 0.0 AND 1.0), 
	FOREIGN KEY(batch_seq) REFERENCES entry (seq) DEFERRABLE INITIALLY DEFERRED
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "air_reading" VALUES(10,1772438400000,20.0,0.4);
INSERT INTO "air_reading" VALUES(10,1772438460000,2.0333333333333332149e+01,4.33333333333333348136e-01);
INSERT INTO "air_reading" VALUES(10,1772438520000,2.066666666666666785e+01,4.66666666666666674068e-01);
INSERT INTO "air_reading" VALUES(10,1772438580000,21.0,0.5);
INSERT INTO "air_reading" VALUES(10,1772438640000,2.13333333333333321482e+01,5.33333333333333325931e-01);
INSERT INTO "air_reading" VALUES(10,1772438700000,2.16666666666666678513e+01,5.66666666666666651863e-01);
INSERT INTO "air_reading" VALUES(10,1772438760000,22.0,6.00000000000000088817e-01);
INSERT INTO "air_reading" VALUES(10,1772438820000,20.0,6.33333333333333303727e-01);
INSERT INTO "air_reading" VALUES(10,1772438880000,2.0333333333333332149e+01,6.66666666666666740681e-01);
INSERT INTO "air_reading" VALUES(10,1772438940000,2.066666666666666785e+01,0.7);
INSERT INTO "air_reading" VALUES(10,1772439000000,21.0,7.33333333333333392545e-01);
INSERT INTO "air_reading" VALUES(10,1772439060000,2.13333333333333321482e+01,0.4);
INSERT INTO "air_reading" VALUES(10,1772439120000,2.16666666666666678513e+01,4.33333333333333348136e-01);
INSERT INTO "air_reading" VALUES(10,1772439180000,22.0,4.66666666666666674068e-01);
INSERT INTO "air_reading" VALUES(10,1772439240000,20.0,0.5);
INSERT INTO "air_reading" VALUES(10,1772439300000,2.0333333333333332149e+01,5.33333333333333325931e-01);
INSERT INTO "air_reading" VALUES(10,1772439360000,2.066666666666666785e+01,5.66666666666666651863e-01);
INSERT INTO "air_reading" VALUES(10,1772439420000,21.0,6.00000000000000088817e-01);
INSERT INTO "air_reading" VALUES(10,1772439480000,2.13333333333333321482e+01,6.33333333333333303727e-01);
INSERT INTO "air_reading" VALUES(10,1772439540000,2.16666666666666678513e+01,6.66666666666666740681e-01);
INSERT INTO "air_reading" VALUES(10,1772439600000,22.0,0.7);
INSERT INTO "air_reading" VALUES(10,1772439660000,20.0,7.33333333333333392545e-01);
INSERT INTO "air_reading" VALUES(10,1772439720000,2.0333333333333332149e+01,0.4);
INSERT INTO "air_reading" VALUES(10,1772439780000,2.066666666666666785e+01,4.33333333333333348136e-01);
INSERT INTO "air_reading" VALUES(10,1772439840000,21.0,4.66666666666666674068e-01);
INSERT INTO "air_reading" VALUES(10,1772439900000,2.13333333333333321482e+01,0.5);
INSERT INTO "air_reading" VALUES(10,1772439960000,2.16666666666666678513e+01,5.33333333333333325931e-01);
INSERT INTO "air_reading" VALUES(10,1772440020000,22.0,5.66666666666666651863e-01);
INSERT INTO "air_reading" VALUES(10,1772440080000,20.0,6.00000000000000088817e-01);
INSERT INTO "air_reading" VALUES(10,1772440140000,2.0333333333333332149e+01,6.33333333333333303727e-01);
INSERT INTO "air_reading" VALUES(10,1772440200000,2.066666666666666785e+01,6.66666666666666740681e-01);
INSERT INTO "air_reading" VALUES(10,1772440260000,21.0,0.7);
INSERT INTO "air_reading" VALUES(10,1772440320000,2.13333333333333321482e+01,7.33333333333333392545e-01);
INSERT INTO "air_reading" VALUES(10,1772440380000,2.16666666666666678513e+01,0.4);
INSERT INTO "air_reading" VALUES(10,1772440440000,22.0,4.33333333333333348136e-01);
INSERT INTO "air_reading" VALUES(10,1772440500000,20.0,4.66666666666666674068e-01);
INSERT INTO "air_reading" VALUES(10,1772440560000,2.0333333333333332149e+01,0.5);
INSERT INTO "air_reading" VALUES(10,1772440620000,2.066666666666666785e+01,5.33333333333333325931e-01);
INSERT INTO "air_reading" VALUES(10,1772440680000,21.0,5.66666666666666651863e-01);
INSERT INTO "air_reading" VALUES(10,1772440740000,2.13333333333333321482e+01,6.00000000000000088817e-01);
INSERT INTO "air_reading" VALUES(10,1772440800000,2.16666666666666678513e+01,6.33333333333333303727e-01);
INSERT INTO "air_reading" VALUES(10,1772440860000,22.0,6.66666666666666740681e-01);
INSERT INTO "air_reading" VALUES(10,1772440920000,20.0,0.7);
INSERT INTO "air_reading" VALUES(10,1772440980000,2.0333333333333332149e+01,7.33333333333333392545e-01);
INSERT INTO "air_reading" VALUES(10,1772441040000,2.066666666666666785e+01,0.4);
INSERT INTO "air_reading" VALUES(10,1772441100000,21.0,4.33333333333333348136e-01);
INSERT INTO "air_reading" VALUES(10,1772441160000,2.13333333333333321482e+01,4.66666666666666674068e-01);
INSERT INTO "air_reading" VALUES(10,1772441220000,2.16666666666666678513e+01,0.5);
INSERT INTO "air_reading" VALUES(10,1772441280000,22.0,5.33333333333333325931e-01);
INSERT INTO "air_reading" VALUES(10,1772441340000,20.0,5.66666666666666651863e-01);
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE book_meta (
	one INTEGER NOT NULL, 
	book_id TEXT NOT NULL, 
	created_at INTEGER NOT NULL, 
	PRIMARY KEY (one), 
	CONSTRAINT one_row CHECK (one = 1)
)
 STRICT

;
INSERT INTO "book_meta" VALUES(1,'c3f3d8a4-4a67-49c2-b843-1a541fa21bad',1772438400000000);
CREATE TABLE entry (
	seq INTEGER NOT NULL, 
	id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	record_id TEXT NOT NULL, 
	recorded_at INTEGER NOT NULL, 
	who TEXT NOT NULL, 
	station TEXT NOT NULL, 
	replaces TEXT, 
	reason TEXT NOT NULL, 
	body TEXT NOT NULL, 
	slot TEXT, 
	previous_hash TEXT NOT NULL, 
	hash TEXT NOT NULL, 
	PRIMARY KEY (seq), 
	CONSTRAINT seq_from_one CHECK (seq >= 1), 
	CONSTRAINT hash_length CHECK (length(hash) = 64), 
	CONSTRAINT replaces_another CHECK (replaces <> id), 
	UNIQUE (id), 
	UNIQUE (replaces), 
	FOREIGN KEY(replaces) REFERENCES entry (id), 
	UNIQUE (slot), 
	UNIQUE (hash)
)
 STRICT

;
INSERT INTO "entry" VALUES(1,'1f452be1-e14c-41d4-8a71-e746baa2dfc7','shop','b8f9b0d7-4991-58d4-a8cd-4af981c74f8d',1772438400000000,'Ines','',NULL,'','{"alerts":{"broker":null,"quiet_from":null,"quiet_until":null,"reading_limit_s":86400.0,"repeat_min":5},"altitude_m":0.0,"dry_share":0.1,"id":"b8f9b0d7-4991-58d4-a8cd-4af981c74f8d","name":"Heron Yard","safe_quantile":0.9,"sound":true,"units":{"length":"mm"},"zone":"Europe/Madrid"}',NULL,'aabd2bec2df6c6c5dce4aa2e0ec47312a5bf824d47675dcd38caddd1df0b342a','9b4434a899803de2800c5d832f8743bf6802a296a4dda40d882fb91e85f9a326');
INSERT INTO "entry" VALUES(2,'f3515a12-b2dd-4e40-9b16-7e8a7f20f491','room','8d949308-a0b8-5343-b2ec-9e41d2047abe',1772438400000000,'Ines','',NULL,'','{"id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","movement":"fan in the room","name":"Dipping room","note":""}',NULL,'9b4434a899803de2800c5d832f8743bf6802a296a4dda40d882fb91e85f9a326','577b4013ae5fd05e68af41ee7e73a8c36a263e10adb6b05b3f6203757088b5d5');
INSERT INTO "entry" VALUES(3,'1ce3fa88-a066-4a70-90d7-768bd681503a','dip_sequence','03665869-ae97-546f-8379-fbb800d798e0',1772438400000000,'Ines','',NULL,'','{"description":"","final_hold_s":86400.0,"id":"03665869-ae97-546f-8379-fbb800d798e0","name":"Eight coats","retired":false,"source":"","steps":[{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}}],"target_thickness_m":0.007}',NULL,'577b4013ae5fd05e68af41ee7e73a8c36a263e10adb6b05b3f6203757088b5d5','125f5f76d6c0e87e990e17e4e5e64c4d4fd94a0e363950038459145f44b290d0');
INSERT INTO "entry" VALUES(4,'b551922c-fbea-4e55-9e50-ab3ec2e1b220','shell','c924ff99-b951-5307-96a8-07cfc726327c',1772438400000000,'Ines','',NULL,'','{"area_m2":null,"cores":[],"drying_length_m":0.2,"id":"c924ff99-b951-5307-96a8-07cfc726327c","label":"H-shell","metal":"","name":"Heron shell","note":"","rack_place":"","room_id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","sequence":{"description":"","final_hold_s":86400.0,"id":"03665869-ae97-546f-8379-fbb800d798e0","name":"Eight coats","retired":false,"source":"","steps":[{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}}],"target_thickness_m":0.007},"spots":[],"started_at":"2026-03-02T08:00:00Z","state":"in work","wax_mass_kg":null}',NULL,'125f5f76d6c0e87e990e17e4e5e64c4d4fd94a0e363950038459145f44b290d0','883d7892cc0e19b0656d15aed5f19dbca3d5cabf17df1ebbcf0ced3b7888e0c1');
INSERT INTO "entry" VALUES(5,'2447ba7c-bc9f-411b-a062-0b289ff60457','coat','a10cbd96-61e1-4268-84dc-8ed539c23ef9',1772442000000000,'Ines','',NULL,'','{"air":{"read_at":"2026-03-02T08:54:00Z","rh":0.52,"temp_c":21.5},"dipped_at":"2026-03-02T09:00:00Z","id":"a10cbd96-61e1-4268-84dc-8ed539c23ef9","movement":"fan in the room","note":"","reason":"","room_id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","shell_id":"c924ff99-b951-5307-96a8-07cfc726327c","step":{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},"tank":"","utc_offset_min":60,"warnings":[]}','coat:1','883d7892cc0e19b0656d15aed5f19dbca3d5cabf17df1ebbcf0ced3b7888e0c1','bf7ed883cc313455ffe4943a54dab2e63875319b121e1a5be209c22ca16a1f12');
INSERT INTO "entry" VALUES(6,'4a0ffbc6-024a-4bc1-9485-44b9f874246a','coat','bb825c26-ff1d-4c86-971c-ffc7987d00fe',1772467200000000,'Ines','',NULL,'','{"air":{"read_at":"2026-03-02T15:54:00Z","rh":0.52,"temp_c":21.5},"dipped_at":"2026-03-02T16:00:00Z","id":"bb825c26-ff1d-4c86-971c-ffc7987d00fe","movement":"fan in the room","note":"","reason":"","room_id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","shell_id":"c924ff99-b951-5307-96a8-07cfc726327c","step":{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},"tank":"","utc_offset_min":60,"warnings":[]}','coat:2','bf7ed883cc313455ffe4943a54dab2e63875319b121e1a5be209c22ca16a1f12','841c8790c060327a0a742fb75170c53d3e617e27a0d347ee19bfd5d5ea8b3c91');
INSERT INTO "entry" VALUES(7,'8ad36cc5-a0c0-4803-a862-6d6a5a4fa11d','coat','a10cbd96-61e1-4268-84dc-8ed539c23ef9',1772445600000000,'Ines','Bench 1','2447ba7c-bc9f-411b-a062-0b289ff60457','Wrong time','{"air":{"read_at":"2026-03-02T08:54:00Z","rh":0.52,"temp_c":21.5},"dipped_at":"2026-03-02T09:30:00Z","id":"a10cbd96-61e1-4268-84dc-8ed539c23ef9","movement":"fan in the room","note":"Zeit falsch — 1½ h später","reason":"","room_id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","shell_id":"c924ff99-b951-5307-96a8-07cfc726327c","step":{"air":{"rh_high":null,"rh_low":null,"swing_k":null,"temp_high_c":null,"temp_low_c":null},"kind":"backup","slurry":"Silica backup","source":"","stucco":"Silica 30-50","thickness_m":{"high":0.0012,"likely":0.0009,"low":0.0006},"watch":"","water_kg_m2":{"high":0.4,"likely":0.3,"low":0.2}},"tank":"B","utc_offset_min":60,"warnings":[]}',NULL,'841c8790c060327a0a742fb75170c53d3e617e27a0d347ee19bfd5d5ea8b3c91','9957777c7493456d3d8389ee296de583e04577eaeadf1843e55c926545de1329');
INSERT INTO "entry" VALUES(8,'1284638d-aa53-4c43-b5a2-29c6b2cbbd60','withdrawal','bb825c26-ff1d-4c86-971c-ffc7987d00fe',1772470800000000,'Ines','','4a0ffbc6-024a-4bc1-9485-44b9f874246a','Logged on the wrong shell','{"id":"bb825c26-ff1d-4c86-971c-ffc7987d00fe"}',NULL,'9957777c7493456d3d8389ee296de583e04577eaeadf1843e55c926545de1329','b1296c2fca7061265ad2274e63387f82f21ed7bd2248754b661cbd48041b262b');
INSERT INTO "entry" VALUES(9,'854a4356-db8e-463b-af00-5c220ecb1272','air_reading','faef9570-7373-49a8-a60b-dc4cbd882c42',1772449200000000,'Ines','',NULL,'','{"id":"faef9570-7373-49a8-a60b-dc4cbd882c42","note":"","read_at":"2026-03-02T11:00:00Z","rh":0.5,"room_id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","temp_c":21.0}',NULL,'b1296c2fca7061265ad2274e63387f82f21ed7bd2248754b661cbd48041b262b','5da92129693d87742528ee9beafe29f0b077c652c72e450a6a3a88bcec701ae6');
INSERT INTO "entry" VALUES(10,'ecdf1da6-2640-4de4-ab43-5bf4c8c4fd41','reading_batch','a524c827-4529-43f4-b041-10be7cf84a57',1772474400000000,'Ines','',NULL,'','{"count":50,"digest":"e25346b9ec764e0f8d90b8beb073aede7d071bc5a6fe3b7b3372544dbdb7907d","first_at":"2026-03-02T08:00:00Z","id":"a524c827-4529-43f4-b041-10be7cf84a57","import_id":"1f248cc6-14e2-4865-a2ca-87fe0595dffd","last_at":"2026-03-02T08:49:00Z","room_id":"8d949308-a0b8-5343-b2ec-9e41d2047abe","source_name":"logger 1.csv"}',NULL,'5da92129693d87742528ee9beafe29f0b077c652c72e450a6a3a88bcec701ae6','27d7fa5b19b385b3b603bd23d1364e5108550366b54ea0ffe12fb6e5fef3fded');
CREATE INDEX entry_record ON entry (record_id);
CREATE TRIGGER book_meta_no_update BEFORE update ON book_meta
BEGIN SELECT RAISE(ABORT, 'book_meta is only ever added to'); END;
CREATE TRIGGER book_meta_no_delete BEFORE delete ON book_meta
BEGIN SELECT RAISE(ABORT, 'book_meta is only ever added to'); END;
CREATE TRIGGER entry_no_update BEFORE update ON entry
BEGIN SELECT RAISE(ABORT, 'entry is only ever added to'); END;
CREATE TRIGGER entry_no_delete BEFORE delete ON entry
BEGIN SELECT RAISE(ABORT, 'entry is only ever added to'); END;
CREATE TRIGGER air_reading_no_update BEFORE update ON air_reading
BEGIN SELECT RAISE(ABORT, 'air_reading is only ever added to'); END;
CREATE TRIGGER air_reading_no_delete BEFORE delete ON air_reading
BEGIN SELECT RAISE(ABORT, 'air_reading is only ever added to'); END;
CREATE TRIGGER entry_at_the_end BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entry)
  OR EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
  OR EXISTS (SELECT 1 FROM entry WHERE hash = NEW.hash)
  OR EXISTS (SELECT 1 FROM entry WHERE replaces = NEW.replaces)
  OR EXISTS (SELECT 1 FROM entry WHERE slot = NEW.slot)
BEGIN SELECT RAISE(ABORT, 'entry is only ever added to'); END;
CREATE TRIGGER book_meta_once BEFORE INSERT ON book_meta
WHEN EXISTS (SELECT 1 FROM book_meta)
BEGIN SELECT RAISE(ABORT, 'book_meta is written once'); END;
CREATE TRIGGER air_reading_sealed BEFORE INSERT ON air_reading
WHEN EXISTS (SELECT 1 FROM entry WHERE seq >= NEW.batch_seq)
BEGIN SELECT RAISE(ABORT, 'the batch is sealed'); END;
COMMIT;
PRAGMA application_id = 1399341635;
PRAGMA user_version = 1;
