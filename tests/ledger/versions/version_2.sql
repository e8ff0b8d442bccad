-- A ledger of version 2 with a few rows, as SQLite's dump writes it.
PRAGMA application_id = 1903521652;
PRAGMA user_version = 2;
BEGIN TRANSACTION;
CREATE TABLE blob (
  sha256 TEXT PRIMARY KEY CHECK (length(sha256) = 64),
  bytes BLOB NOT NULL
) STRICT;
INSERT INTO "blob" VALUES('1b32c28cb38c05480eccc1bd60ff97029b57a05c96718b96dad7e9d84894f549',X'62656E6368');
INSERT INTO "blob" VALUES('f9d86028c6e0d64e225186f96acb69338b2c59764df79162107f5c4bb34d1310',X'7B2261223A20317D');
INSERT INTO "blob" VALUES('9a8eeff1d0bc6b9b7acf170b1168d6d07f193dc770d4c1864b03e48d775e8d1a',X'612070616765');
INSERT INTO "blob" VALUES('b04cb09fabfe6b51ab9ceedafc635c96ac20e5a2192f061a3cfa8a9d02919bd8',X'73746F6F6C');
INSERT INTO "blob" VALUES('59705a341da66488fe33522f8aa4d5f4fbb7438c790804a3dc35890ac46e3515',X'616E6F746865722070616765');
INSERT INTO "blob" VALUES('40aff2e9d2d8922e47afd4648e6967497158785fbd1da870e7110266bf944880',X'000102030405060708090A0B0C0D0E0F101112131415161718191A1B1C1D1E1F202122232425262728292A2B2C2D2E2F303132333435363738393A3B3C3D3E3F404142434445464748494A4B4C4D4E4F505152535455565758595A5B5C5D5E5F606162636465666768696A6B6C6D6E6F707172737475767778797A7B7C7D7E7F808182838485868788898A8B8C8D8E8F909192939495969798999A9B9C9D9E9FA0A1A2A3A4A5A6A7A8A9AAABACADAEAFB0B1B2B3B4B5B6B7B8B9BABBBCBDBEBFC0C1C2C3C4C5C6C7C8C9CACBCCCDCECFD0D1D2D3D4D5D6D7D8D9DADBDCDDDEDFE0E1E2E3E4E5E6E7E8E9EAEBECEDEEEFF0F1F2F3F4F5F6F7F8F9FAFBFCFDFEFF');
INSERT INTO "blob" VALUES('73834addcec75fafd7d73717ca1614a1324652ffa70b4b6c44fa359ae5a69dab',X'6C6F6E676572');
INSERT INTO "blob" VALUES('44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a',X'7B7D');
CREATE TABLE change_file (
  entry INTEGER NOT NULL REFERENCES change_order (entry),
  role TEXT NOT NULL,
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL REFERENCES blob (sha256),
  PRIMARY KEY (entry, role, name)
) STRICT;
INSERT INTO "change_file" VALUES(5,'source','jobs/job.toml','73834addcec75fafd7d73717ca1614a1324652ffa70b4b6c44fa359ae5a69dab');
INSERT INTO "change_file" VALUES(5,'result','result.json','44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a');
CREATE TABLE change_order (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  position INTEGER NOT NULL CHECK (position > 0),
  ruled TEXT NOT NULL CHECK (ruled IN ('agreed', 'mine')),
  net INTEGER NOT NULL,
  tax INTEGER NOT NULL,
  fees INTEGER NOT NULL,
  asked INTEGER NOT NULL
) STRICT;
INSERT INTO "change_order" VALUES(5,1,'agreed',12000,900,0,11875);
CREATE TABLE entry (
  id INTEGER PRIMARY KEY,
  piece INTEGER REFERENCES piece (id),
  quote INTEGER REFERENCES quote (id),
  kind TEXT NOT NULL CHECK (kind IN ('state', 'change', 'hours', 'machine', 'used', 'wasted', 'paid', 'credited', 'measured', 'vacuum', 'temperature', 'setback', 'trip', 'received', 'refunded', 'done', 'note', 'void')),
  day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  line TEXT NOT NULL,
  task TEXT NOT NULL,
  part TEXT NOT NULL,
  stage TEXT NOT NULL,
  item TEXT NOT NULL,
  who TEXT NOT NULL,
  round INTEGER CHECK (round > 0),
  plies INTEGER CHECK (plies >= 0),
  amount REAL,
  unit TEXT NOT NULL,
  hours REAL CHECK (hours >= 0),
  money INTEGER,
  digits INTEGER NOT NULL CHECK (digits BETWEEN 0 AND 4),
  receipt TEXT NOT NULL,
  said TEXT NOT NULL,
  words TEXT NOT NULL,
  about INTEGER NOT NULL CHECK (about IN (0, 1)),
  counters INTEGER UNIQUE REFERENCES entry (id) CHECK (counters < id),
  source TEXT NOT NULL,
  row_key TEXT UNIQUE,
  at TEXT NOT NULL,
  CHECK ((kind = 'void') = (counters IS NOT NULL))
) STRICT;
INSERT INTO "entry" VALUES(1,1,1,'state','2027-03-01','','','','','','',NULL,NULL,NULL,'',NULL,NULL,2,'','open','bench',0,NULL,'',NULL,'2026-11-28T12:22:28Z');
INSERT INTO "entry" VALUES(2,2,2,'state','2027-03-01','','','','','','',NULL,NULL,NULL,'',NULL,NULL,2,'','open','stool',0,NULL,'',NULL,'2026-11-28T12:22:28Z');
INSERT INTO "entry" VALUES(3,1,NULL,'paid','2027-03-01','','','','','','',NULL,NULL,2.5,'L',NULL,-7250,2,'','','',0,NULL,'',NULL,'2026-11-28T12:22:28Z');
INSERT INTO "entry" VALUES(4,1,NULL,'void','2027-03-01','','','','','','',NULL,NULL,NULL,'',NULL,NULL,2,'','','typing error',0,3,'',NULL,'2026-11-28T12:22:28Z');
INSERT INTO "entry" VALUES(5,1,1,'change','2027-03-01','','','','','','',NULL,NULL,NULL,'',NULL,NULL,2,'','','longer',0,NULL,'',NULL,'2026-11-28T12:22:28Z');
INSERT INTO "entry" VALUES(6,NULL,NULL,'note','2027-03-01','','','','','','',NULL,NULL,NULL,'',NULL,NULL,2,'','','=SUM(A1) said the client',0,NULL,'',NULL,'2026-11-28T12:22:28Z');
INSERT INTO "entry" VALUES(7,1,NULL,'hours','2027-03-01','','','','','','',NULL,NULL,NULL,'',0.25,NULL,2,'','','',0,NULL,'','sheet:1:0','2026-11-28T12:22:28Z');
CREATE TABLE piece (
  id INTEGER PRIMARY KEY,
  year INTEGER NOT NULL,
  serial INTEGER NOT NULL CHECK (serial > 0),
  UNIQUE (year, serial)
) STRICT;
INSERT INTO "piece" VALUES(1,2027,1);
INSERT INTO "piece" VALUES(2,2027,2);
CREATE TABLE quote (
  id INTEGER PRIMARY KEY,
  piece INTEGER NOT NULL REFERENCES piece (id),
  revision INTEGER NOT NULL CHECK (revision >= 0),
  day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  valid_until TEXT NOT NULL,
  title TEXT NOT NULL,
  client TEXT NOT NULL,
  basis TEXT NOT NULL CHECK (basis IN ('commission', 'for sale')),
  currency TEXT NOT NULL,
  digits INTEGER NOT NULL CHECK (digits BETWEEN 0 AND 4),
  total INTEGER NOT NULL,
  made_with TEXT NOT NULL,
  at TEXT NOT NULL,
  UNIQUE (piece, revision)
) STRICT;
INSERT INTO "quote" VALUES(1,1,0,'2027-03-01','2027-03-01','bench','','commission','USD',2,446260,'{"engine": "1"}','2026-11-28T12:22:28Z');
INSERT INTO "quote" VALUES(2,2,0,'2027-03-01','2027-03-01','stool','','commission','USD',2,446260,'{"engine": "1"}','2026-11-28T12:22:28Z');
CREATE TABLE quote_file (
  quote INTEGER NOT NULL REFERENCES quote (id),
  role TEXT NOT NULL,
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL REFERENCES blob (sha256),
  PRIMARY KEY (quote, role, name)
) STRICT;
INSERT INTO "quote_file" VALUES(1,'source','jobs/job.toml','1b32c28cb38c05480eccc1bd60ff97029b57a05c96718b96dad7e9d84894f549');
INSERT INTO "quote_file" VALUES(1,'result','result.json','f9d86028c6e0d64e225186f96acb69338b2c59764df79162107f5c4bb34d1310');
INSERT INTO "quote_file" VALUES(1,'document','0.pdf','9a8eeff1d0bc6b9b7acf170b1168d6d07f193dc770d4c1864b03e48d775e8d1a');
INSERT INTO "quote_file" VALUES(2,'source','jobs/job.toml','b04cb09fabfe6b51ab9ceedafc635c96ac20e5a2192f061a3cfa8a9d02919bd8');
INSERT INTO "quote_file" VALUES(2,'result','result.json','f9d86028c6e0d64e225186f96acb69338b2c59764df79162107f5c4bb34d1310');
INSERT INTO "quote_file" VALUES(2,'document','0.pdf','59705a341da66488fe33522f8aa4d5f4fbb7438c790804a3dc35890ac46e3515');
INSERT INTO "quote_file" VALUES(2,'document','1.pdf','40aff2e9d2d8922e47afd4648e6967497158785fbd1da870e7110266bf944880');
CREATE TABLE request (
  key TEXT PRIMARY KEY CHECK (length(key) > 0),
  contents TEXT NOT NULL CHECK (length(contents) = 64),
  entry INTEGER UNIQUE REFERENCES entry (id),
  quote INTEGER UNIQUE REFERENCES quote (id),
  CHECK ((entry IS NULL) <> (quote IS NULL))
) STRICT;
INSERT INTO "request" VALUES('a tap','481d6f952743536124a31aac01a35187abab4ae5c06bca083d3daf0426ea1af2',3,NULL);
INSERT INTO "request" VALUES('a confirmation','700a65d1ab6ec7c08b7ab3aa78adf22f45b1e569b513ae789f002b75ea1a51d9',NULL,1);
CREATE INDEX entry_of_piece ON entry (piece, day);
CREATE TRIGGER piece_no_update BEFORE UPDATE ON piece BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER piece_no_delete BEFORE DELETE ON piece BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER blob_no_update BEFORE UPDATE ON blob BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER blob_no_delete BEFORE DELETE ON blob BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER quote_no_update BEFORE UPDATE ON quote BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER quote_no_delete BEFORE DELETE ON quote BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER change_order_no_update BEFORE UPDATE ON change_order BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER change_order_no_delete BEFORE DELETE ON change_order BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER quote_file_no_update BEFORE UPDATE ON quote_file BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER quote_file_no_delete BEFORE DELETE ON quote_file BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER change_file_no_update BEFORE UPDATE ON change_file BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER change_file_no_delete BEFORE DELETE ON change_file BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER request_no_update BEFORE UPDATE ON request BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
CREATE TRIGGER request_no_delete BEFORE DELETE ON request BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;
COMMIT;
