-- The bare transaction of an added record, for pgbench -n -M prepared -f: the same tables, guards and lock, without
-- hashes, questions and reading back. Job and result are those of record 1, which must be there, packed anew: || '' sees to that.
\set key random(1, 9000000000000000000)
BEGIN;
SELECT pg_advisory_xact_lock(1801810534);
SELECT coalesce(max(number), 0) + 1 AS n, coalesce((SELECT sha256 FROM kerfmark.record ORDER BY number DESC LIMIT 1), repeat('0', 64)) AS last FROM kerfmark.record \gset
INSERT INTO kerfmark.record VALUES (:n, 2, NULL, '2026-11-20T14:05:09Z', '0.3.0', 'seatpost', :key, 'grey road frame', 'Marrow', '', 'cut', 43.5, NULL, NULL, 'a4', 'en', NULL, encode(sha256(convert_to('job' || :key, 'UTF8')), 'hex'), repeat('b', 64), repeat('c', 64), repeat('d', 64), :last, encode(sha256(convert_to(:key::text, 'UTF8')), 'hex'));
INSERT INTO kerfmark.papers SELECT :n, job || '', result_json || '' FROM kerfmark.papers WHERE number = 1;
INSERT INTO kerfmark.people VALUES (:n, 'Oda Venn', repeat('e', 64), 'wants it lower', repeat('f', 64));
INSERT INTO kerfmark.words VALUES (:n, 'frame grey it lower oda road venn wants ' || :key);
INSERT INTO kerfmark.sent VALUES (repeat('0', 44) || :key, :n);
COMMIT;
