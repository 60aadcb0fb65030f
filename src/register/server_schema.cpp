#include "server_schema.hpp"

#include <array>

namespace kerfmark::records {
namespace {

// Roles are those of the whole server, and another database may have a register already. None of
// them logs in: logins are made members of one by whoever runs the server.
//
// Who adds has no right to change anything. The guards are for the owner's mistakes, and bind what
// is added; what is checked stands in functions, whose text is stored as it was written, so that it
// can be held against what it should be on a server of any version.
constexpr std::string_view first = R"sql(
CREATE SCHEMA kerfmark AUTHORIZATION kerfmark_owner;
SET LOCAL ROLE kerfmark_owner;
SET LOCAL search_path = kerfmark;

CREATE TABLE step (
  number integer PRIMARY KEY,
  gone_at timestamptz NOT NULL DEFAULT now()
);

CREATE TABLE shop (
  sha256 text PRIMARY KEY,
  shop_toml text NOT NULL
);

CREATE TABLE record (
  number bigint PRIMARY KEY,
  encoding integer NOT NULL,
  replaces bigint UNIQUE REFERENCES record (number),
  made_utc text COLLATE "C" NOT NULL,
  program_version text NOT NULL,
  kind text NOT NULL,
  job_number text NOT NULL,
  bike text NOT NULL,
  by_whom text NOT NULL,
  checked_by text NOT NULL,
  verdict text NOT NULL,
  planned_cut_mm double precision,
  actual_cut_mm double precision,
  after_verdict text,
  paper text NOT NULL,
  language text NOT NULL,
  shop_sha256 text REFERENCES shop (sha256),
  job_sha256 text NOT NULL,
  result_sha256 text NOT NULL,
  owner_sha256 text NOT NULL,
  notes_sha256 text NOT NULL,
  previous_sha256 text NOT NULL UNIQUE,
  sha256 text NOT NULL
);
CREATE INDEX record_made ON record (made_utc);
CREATE INDEX record_job ON record (job_sha256);

CREATE TABLE papers (
  number bigint PRIMARY KEY REFERENCES record (number),
  job text NOT NULL,
  result_json text NOT NULL
);

CREATE TABLE people (
  number bigint PRIMARY KEY REFERENCES record (number),
  owner text,
  owner_salt text,
  notes text,
  notes_salt text
);

CREATE TABLE words (
  number bigint PRIMARY KEY REFERENCES record (number),
  words text NOT NULL
);
CREATE INDEX words_found ON words
  USING gin (array_to_tsvector(string_to_array(words, ' '))) WITH (fastupdate = off);

CREATE TABLE sent (
  key text PRIMARY KEY,
  number bigint NOT NULL REFERENCES record (number)
);

CREATE FUNCTION refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '%', TG_ARGV[0];
END $$;

CREATE FUNCTION guard_record() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  last kerfmark.record;
BEGIN
  SELECT * INTO last FROM kerfmark.record ORDER BY number DESC LIMIT 1;
  IF NEW.number <> coalesce(last.number, 0) + 1
    OR NEW.previous_sha256 <> coalesce(last.sha256, repeat('0', 64)) THEN
    RAISE EXCEPTION 'a record follows the last one; none is put in or replaced';
  END IF;
  IF NEW.replaces >= NEW.number THEN
    RAISE EXCEPTION 'a record is replaced once, by a later one';
  END IF;
  IF NEW.encoding NOT IN (1, 2)
    OR NEW.made_utc !~ '^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z$'
    OR NEW.program_version = ''
    OR NEW.kind = ''
    OR NEW.planned_cut_mm < 0
    OR NEW.after_verdict NOT IN ('fit', 'hold', 'unfit')
    OR NEW.kind <> 'forget' AND (
      NEW.verdict NOT IN ('cut', 'keep', 'hold', 'reject')
      OR NEW.paper NOT IN ('a4', 'letter')
      OR NEW.language = '')
    OR length(NEW.shop_sha256) <> 64
    OR length(NEW.job_sha256) <> 64
    OR length(NEW.result_sha256) <> 64
    OR length(NEW.owner_sha256) <> 64
    OR length(NEW.notes_sha256) <> 64
    OR length(NEW.sha256) <> 64 THEN
    RAISE EXCEPTION 'a record has a value that no record can have';
  END IF;
  RETURN NEW;
END $$;

CREATE FUNCTION guard_people() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF num_nulls(NEW.owner, NEW.owner_salt, NEW.notes, NEW.notes_salt) NOT IN (0, 4) THEN
    RAISE EXCEPTION 'owner and notes of a record are there or not, both of them';
  END IF;
  IF TG_OP = 'UPDATE' AND (NEW.number <> OLD.number OR NEW.owner IS NOT NULL) THEN
    RAISE EXCEPTION 'owner and notes of a record can only be blanked';
  END IF;
  RETURN NEW;
END $$;

CREATE FUNCTION guard_words() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.number <> OLD.number
    OR EXISTS (SELECT 1 FROM kerfmark.people WHERE number = OLD.number AND owner IS NOT NULL)
    OR NOT string_to_array(OLD.words, ' ') @> string_to_array(NEW.words, ' ') THEN
    RAISE EXCEPTION 'words of a record go only when its owner and notes are blanked';
  END IF;
  RETURN NEW;
END $$;

CREATE TRIGGER record_is_the_next BEFORE INSERT ON record
  FOR EACH ROW EXECUTE FUNCTION guard_record();
CREATE TRIGGER record_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON record
  FOR EACH STATEMENT EXECUTE FUNCTION
  refuse('a record is never changed or deleted; add a new one that replaces it');
CREATE TRIGGER papers_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON papers
  FOR EACH STATEMENT EXECUTE FUNCTION refuse('papers of a record are never changed or deleted');
CREATE TRIGGER shop_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON shop
  FOR EACH STATEMENT EXECUTE FUNCTION refuse('a shop file is never changed or deleted');
CREATE TRIGGER people_only_to_blank BEFORE INSERT OR UPDATE ON people
  FOR EACH ROW EXECUTE FUNCTION guard_people();
CREATE TRIGGER people_are_kept BEFORE DELETE OR TRUNCATE ON people
  FOR EACH STATEMENT EXECUTE FUNCTION refuse('owner and notes of a record can only be blanked');
CREATE TRIGGER words_only_to_blank BEFORE UPDATE ON words
  FOR EACH ROW EXECUTE FUNCTION guard_words();
CREATE TRIGGER words_are_kept BEFORE DELETE OR TRUNCATE ON words
  FOR EACH STATEMENT EXECUTE FUNCTION refuse('words of a record are never deleted');
CREATE TRIGGER sent_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON sent
  FOR EACH STATEMENT EXECUTE FUNCTION refuse('the key of a record is never changed or deleted');
CREATE TRIGGER step_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON step
  FOR EACH STATEMENT EXECUTE FUNCTION refuse('steps of the register are only gone forward');

GRANT USAGE ON SCHEMA kerfmark TO kerfmark_add;
GRANT SELECT ON step TO kerfmark_add;
GRANT SELECT, INSERT ON shop, record, papers, people, words, sent TO kerfmark_add;
GRANT UPDATE (owner, owner_salt, notes, notes_salt) ON people TO kerfmark_forget;
GRANT UPDATE (words) ON words TO kerfmark_forget;
)sql";

constexpr auto all_steps = std::to_array<std::string_view>({first});

// Catalogues of PostgreSQL 11 and later. What differs between versions, such as how it prints an
// expression, is not listed.
constexpr std::string_view listing = R"sql(
WITH ours AS (
  SELECT * FROM pg_class WHERE relnamespace = 'kerfmark'::regnamespace
), roles AS (
  SELECT * FROM pg_roles WHERE rolname IN ('kerfmark_add', 'kerfmark_forget', 'kerfmark_owner')
), given AS (
  SELECT 'schema kerfmark' AS what, acl.* FROM pg_namespace, aclexplode(nspacl) AS acl
    WHERE nspname = 'kerfmark' AND acl.grantee <> nspowner
  UNION ALL
  SELECT 'table ' || relname, acl.* FROM ours, aclexplode(relacl) AS acl
    WHERE acl.grantee <> relowner
  UNION ALL
  SELECT 'column ' || relname || '.' || attname, acl.*
    FROM ours JOIN pg_attribute ON attrelid = ours.oid, aclexplode(attacl) AS acl
)
SELECT line FROM (
  SELECT 'schema kerfmark of ' || nspowner::regrole AS line
    FROM pg_namespace WHERE nspname = 'kerfmark'
  UNION ALL
  SELECT CASE relkind WHEN 'r' THEN 'table ' WHEN 'i' THEN 'index ' WHEN 'v' THEN 'view '
      ELSE 'relation ' || relkind::text || ' ' END || relname || ' of ' || relowner::regrole
      || CASE WHEN relpersistence <> 'p' THEN ', not permanent' ELSE '' END
      || CASE WHEN relrowsecurity THEN ', with row security' ELSE '' END
      || CASE WHEN relhasrules THEN ', with rules' ELSE '' END
      || CASE WHEN relhassubclass THEN ', with tables below it' ELSE '' END
      || coalesce((SELECT CASE WHEN NOT indisvalid THEN ', not valid' ELSE '' END
           || CASE WHEN indisunique THEN ', unique' ELSE '' END
           FROM pg_index WHERE indexrelid = ours.oid), '')
    FROM ours
  UNION ALL
  SELECT 'column ' || relname || '.' || attname || ' ' || format_type(atttypid, atttypmod)
      || CASE WHEN attnotnull THEN ' not null' ELSE '' END
    FROM ours JOIN pg_attribute ON attrelid = ours.oid
    WHERE relkind = 'r' AND attnum > 0 AND NOT attisdropped
  UNION ALL
  SELECT 'constraint ' || conname || ': ' || CASE contype WHEN 'f' THEN
      'refers to ' || confrelid::regclass ELSE 'of kind ' || contype::text END
      || CASE WHEN convalidated THEN '' ELSE ', not validated' END
    FROM pg_constraint WHERE connamespace = 'kerfmark'::regnamespace AND contype <> 'n'
  UNION ALL
  SELECT CASE WHEN tgisinternal THEN 'check of a key of ' || relname
      ELSE pg_get_triggerdef(pg_trigger.oid) END
      || CASE tgenabled WHEN 'O' THEN '' WHEN 'D' THEN ', switched off' ELSE ', for replicas' END
    FROM ours JOIN pg_trigger ON tgrelid = ours.oid
    WHERE NOT tgisinternal OR tgenabled <> 'O'
  UNION ALL
  SELECT 'function ' || proname || ' of ' || proowner::regrole || ' in ' || lanname || ' '
      || encode(sha256(convert_to(prosrc, 'UTF8')), 'hex')
      || CASE WHEN prosecdef THEN ', with rights of its owner' ELSE '' END
    FROM pg_proc JOIN pg_language ON pg_language.oid = prolang
    WHERE pronamespace = 'kerfmark'::regnamespace
  UNION ALL
  SELECT what || ': ' || privilege_type || ' to '
      || CASE grantee WHEN 0 THEN 'everybody' ELSE grantee::regrole::text END
      || CASE WHEN is_grantable THEN ', who may pass it on' ELSE '' END
    FROM given
  UNION ALL
  SELECT 'role ' || rolname
      || CASE WHEN rolsuper THEN ', superuser' ELSE '' END
      || CASE WHEN rolcreaterole THEN ', may make roles' ELSE '' END
      || CASE WHEN rolbypassrls OR rolreplication OR rolcreatedb THEN ', with more rights' ELSE '' END
      || CASE WHEN rolcanlogin THEN ', logs in' ELSE '' END
    FROM roles
  UNION ALL
  SELECT 'role ' || rolname || ' is a member of ' || roleid::regrole
    FROM roles JOIN pg_auth_members ON member = roles.oid
) AS lines ORDER BY line COLLATE "C"
)sql";

constexpr std::string_view as_made = R"listed(
CREATE TRIGGER papers_stay BEFORE DELETE OR UPDATE OR TRUNCATE ON kerfmark.papers FOR EACH STATEMENT EXECUTE FUNCTION refuse('papers of a record are never changed or deleted')
CREATE TRIGGER people_are_kept BEFORE DELETE OR TRUNCATE ON kerfmark.people FOR EACH STATEMENT EXECUTE FUNCTION refuse('owner and notes of a record can only be blanked')
CREATE TRIGGER people_only_to_blank BEFORE INSERT OR UPDATE ON kerfmark.people FOR EACH ROW EXECUTE FUNCTION guard_people()
CREATE TRIGGER record_is_the_next BEFORE INSERT ON kerfmark.record FOR EACH ROW EXECUTE FUNCTION guard_record()
CREATE TRIGGER record_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON kerfmark.record FOR EACH STATEMENT EXECUTE FUNCTION refuse('a record is never changed or deleted; add a new one that replaces it')
CREATE TRIGGER sent_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON kerfmark.sent FOR EACH STATEMENT EXECUTE FUNCTION refuse('the key of a record is never changed or deleted')
CREATE TRIGGER shop_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON kerfmark.shop FOR EACH STATEMENT EXECUTE FUNCTION refuse('a shop file is never changed or deleted')
CREATE TRIGGER step_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON kerfmark.step FOR EACH STATEMENT EXECUTE FUNCTION refuse('steps of the register are only gone forward')
CREATE TRIGGER words_are_kept BEFORE DELETE OR TRUNCATE ON kerfmark.words FOR EACH STATEMENT EXECUTE FUNCTION refuse('words of a record are never deleted')
CREATE TRIGGER words_only_to_blank BEFORE UPDATE ON kerfmark.words FOR EACH ROW EXECUTE FUNCTION guard_words()
column papers.job text not null
column papers.number bigint not null
column papers.result_json text not null
column people.notes text
column people.notes: UPDATE to kerfmark_forget
column people.notes_salt text
column people.notes_salt: UPDATE to kerfmark_forget
column people.number bigint not null
column people.owner text
column people.owner: UPDATE to kerfmark_forget
column people.owner_salt text
column people.owner_salt: UPDATE to kerfmark_forget
column record.actual_cut_mm double precision
column record.after_verdict text
column record.bike text not null
column record.by_whom text not null
column record.checked_by text not null
column record.encoding integer not null
column record.job_number text not null
column record.job_sha256 text not null
column record.kind text not null
column record.language text not null
column record.made_utc text not null
column record.notes_sha256 text not null
column record.number bigint not null
column record.owner_sha256 text not null
column record.paper text not null
column record.planned_cut_mm double precision
column record.previous_sha256 text not null
column record.program_version text not null
column record.replaces bigint
column record.result_sha256 text not null
column record.sha256 text not null
column record.shop_sha256 text
column record.verdict text not null
column sent.key text not null
column sent.number bigint not null
column shop.sha256 text not null
column shop.shop_toml text not null
column step.gone_at timestamp with time zone not null
column step.number integer not null
column words.number bigint not null
column words.words text not null
column words.words: UPDATE to kerfmark_forget
constraint papers_number_fkey: refers to record
constraint papers_pkey: of kind p
constraint people_number_fkey: refers to record
constraint people_pkey: of kind p
constraint record_pkey: of kind p
constraint record_previous_sha256_key: of kind u
constraint record_replaces_fkey: refers to record
constraint record_replaces_key: of kind u
constraint record_shop_sha256_fkey: refers to shop
constraint sent_number_fkey: refers to record
constraint sent_pkey: of kind p
constraint shop_pkey: of kind p
constraint step_pkey: of kind p
constraint words_number_fkey: refers to record
constraint words_pkey: of kind p
function guard_people of kerfmark_owner in plpgsql 9f4bf951bd4420e1ed18335625604240bb34e16991ce30260221493006dd1c9f
function guard_record of kerfmark_owner in plpgsql e12f931c0a10397501ec2097a5000e2c284f6bbb82d75ade3cd588ce0d9e19fc
function guard_words of kerfmark_owner in plpgsql 4d7aa3d2e7bd4e56aafca22814ee5af93739f15ec201129796694ebc79623428
function refuse of kerfmark_owner in plpgsql bf124bf6e82c49f4980f237f30d0ad6c49a2a2e25deeda1597af62600caf84e2
index papers_pkey of kerfmark_owner, unique
index people_pkey of kerfmark_owner, unique
index record_job of kerfmark_owner
index record_made of kerfmark_owner
index record_pkey of kerfmark_owner, unique
index record_previous_sha256_key of kerfmark_owner, unique
index record_replaces_key of kerfmark_owner, unique
index sent_pkey of kerfmark_owner, unique
index shop_pkey of kerfmark_owner, unique
index step_pkey of kerfmark_owner, unique
index words_found of kerfmark_owner
index words_pkey of kerfmark_owner, unique
role kerfmark_add
role kerfmark_forget
role kerfmark_forget is a member of kerfmark_add
role kerfmark_owner
schema kerfmark of kerfmark_owner
schema kerfmark: USAGE to kerfmark_add
table papers of kerfmark_owner
table papers: INSERT to kerfmark_add
table papers: SELECT to kerfmark_add
table people of kerfmark_owner
table people: INSERT to kerfmark_add
table people: SELECT to kerfmark_add
table record of kerfmark_owner
table record: INSERT to kerfmark_add
table record: SELECT to kerfmark_add
table sent of kerfmark_owner
table sent: INSERT to kerfmark_add
table sent: SELECT to kerfmark_add
table shop of kerfmark_owner
table shop: INSERT to kerfmark_add
table shop: SELECT to kerfmark_add
table step of kerfmark_owner
table step: SELECT to kerfmark_add
table words of kerfmark_owner
table words: INSERT to kerfmark_add
table words: SELECT to kerfmark_add
)listed";

}  // namespace

const ServerSchema& schema_of_server() {
  static constexpr ServerSchema all{all_steps, as_made};
  return all;
}

std::string_view listing_of_schema() { return listing; }

}  // namespace kerfmark::records
