-- What the office can search: notes, findings, reasons, machines, customers' references, and the titles of jobs. Names of
-- people who work are not among it. A row goes with the words that it was made of, in the same transaction.

CREATE TABLE shop.words (
    workshop text NOT NULL,
    month    date NOT NULL,
    job      text NOT NULL,
    seq      integer NOT NULL,   -- 0: what the job itself is called
    key      text NOT NULL,
    kind     text NOT NULL,
    step     text NOT NULL,
    at_ms    bigint NOT NULL,
    found    tsvector NOT NULL,  -- as English and as it is written, and '@WORKSHOP', by which one index serves them all
    PRIMARY KEY (workshop, job, seq, key)
);
CREATE INDEX words_found ON shop.words USING gin (found);
ALTER TABLE shop.words ENABLE ROW LEVEL SECURITY;

-- A text in its canonical JSON; as it stands where it is none that the store can hold.
CREATE FUNCTION shop.plain_text(value text) RETURNS text LANGUAGE plpgsql IMMUTABLE AS $$
BEGIN
    RETURN value::json #>> '{}';
EXCEPTION WHEN OTHERS THEN
    RETURN value;
END $$;

CREATE FUNCTION shop.vector(of_workshop text, value text) RETURNS tsvector LANGUAGE sql IMMUTABLE AS $$
    SELECT array_to_tsvector(ARRAY['@' || of_workshop]) || to_tsvector('pg_catalog.english', t) || to_tsvector('pg_catalog.simple', t)
      FROM translate(left(value, 20000), '<>', '  ') AS t  -- no marks of a page: all of it is words
$$;

-- What is heard, asked back or not understood comes again as a note, a finding or a reason once it counts.
CREATE FUNCTION shop.is_searched(of_kind text, of_key text) RETURNS boolean LANGUAGE sql IMMUTABLE AS $$
    SELECT of_key IN ('text', 'reason', 'note', 'meter_note', 'asset', 'customer', 'order') AND of_kind NOT IN
        ('asked', 'heard', 'heard_of', 'heard_alike', 'unclear', 'unsure_of', 'words_taken', 'finding_taken', 'scanned')
$$;

-- By values, job by job, so that the one partition that it is about is looked at.
CREATE FUNCTION shop.note_words() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    one record;
BEGIN
    FOR one IN SELECT DISTINCT workshop, month, job FROM fresh LOOP
        EXECUTE 'INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
            SELECT $1, $2, $3, f.seq, f.key, e.kind, coalesce(shop.text_in(e.data, ''step''), ''''), e.at_ms,
                   shop.vector($1, shop.plain_text(f.value))
              FROM fresh f JOIN shop.entry e ON e.workshop = $1 AND e.month = $2 AND e.job = $3 AND e.seq = f.seq
             WHERE f.workshop = $1 AND f.month = $2 AND f.job = $3 AND shop.is_searched(e.kind, f.key)
            ON CONFLICT DO NOTHING' USING one.workshop, one.month, one.job;
    END LOOP;
    RETURN NULL;
END $$;
CREATE TRIGGER personal_searched AFTER INSERT ON shop.personal REFERENCING NEW TABLE AS fresh
    FOR EACH STATEMENT EXECUTE FUNCTION shop.note_words();

CREATE FUNCTION shop.drop_words() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    DELETE FROM shop.words WHERE workshop = OLD.workshop AND job = OLD.job AND seq = OLD.seq AND key = OLD.key;
    RETURN NULL;
END $$;
CREATE TRIGGER personal_unsearched AFTER DELETE ON shop.personal FOR EACH ROW EXECUTE FUNCTION shop.drop_words();

CREATE FUNCTION shop.note_title() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
    VALUES (NEW.workshop, NEW.month, NEW.name, 0, 'title', 'job', '', NEW.opened_ms, shop.vector(NEW.workshop,
            left(NEW.title, 2000) || ' ' || left(NEW.procedure_id, 200) || ' ' || NEW.name || ' ' || NEW.bay))
    ON CONFLICT DO NOTHING;
    RETURN NULL;
END $$;
CREATE TRIGGER job_searched AFTER INSERT ON shop.job FOR EACH ROW EXECUTE FUNCTION shop.note_title();

-- What the store has by now.
INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
SELECT p.workshop, p.month, p.job, p.seq, p.key, e.kind, coalesce(shop.text_in(e.data, 'step'), ''), e.at_ms,
       shop.vector(p.workshop, shop.plain_text(p.value))
  FROM shop.personal p JOIN shop.entry e USING (workshop, month, job, seq) WHERE shop.is_searched(e.kind, p.key);
INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
SELECT j.workshop, j.month, j.name, 0, 'title', 'job', '', j.opened_ms, shop.vector(j.workshop,
       left(j.title, 2000) || ' ' || left(j.procedure_id, 200) || ' ' || j.name || ' ' || j.bay)
  FROM shop.job j;

-- The newest `most` places in which all of `words` are found, and how many there are; `said` has U+E000 and U+E001 around
-- what was found. Written as for a search engine: "two words" in a row, -without, or.
CREATE FUNCTION shop.search(words text, most integer)
RETURNS TABLE (job text, bay text, title text, seq integer, key text, kind text, step text, at_ms bigint, said text, total bigint)
LANGUAGE plpgsql STABLE SECURITY DEFINER SET search_path = shop, pg_temp SET plan_cache_mode = force_custom_plan AS $$
DECLARE
    mine text := shop.my_workshop();
    english tsquery := websearch_to_tsquery('pg_catalog.english', translate(words, '<>', '  '));
    plain tsquery := websearch_to_tsquery('pg_catalog.simple', translate(words, '<>', '  '));
    wanted tsquery;
BEGIN
    IF mine IS NULL THEN
        RAISE EXCEPTION 'unknown login' USING ERRCODE = 'SH002';
    END IF;
    -- "-seals" as it is written would let "seal" in, so what must not be there is taken as English alone.
    wanted := CASE WHEN numnode(english) = 0 THEN plain WHEN strpos(english::text, '!') > 0 THEN english ELSE english || plain END;
    IF numnode(wanted) = 0 THEN RETURN; END IF;
    RETURN QUERY
    WITH hit AS MATERIALIZED (
        SELECT w.month, w.job, w.seq, w.key, w.kind, w.step, w.at_ms, count(*) OVER () AS total FROM shop.words w
         WHERE w.workshop = mine AND w.found @@ (format('''@%s''', mine)::tsquery && wanted)
         ORDER BY w.at_ms DESC, w.job, w.seq, w.key LIMIT most
    ), told AS (
        SELECT h.*, j.bay, j.title, left(translate(CASE WHEN h.seq = 0 THEN j.title ELSE coalesce((SELECT shop.plain_text(p.value)
               FROM shop.personal p WHERE p.workshop = mine AND p.month = h.month AND p.job = h.job AND p.seq = h.seq
               AND p.key = h.key), '') END, U&'\E000\E001', ''), 20000) AS text
          FROM hit h JOIN shop.job j ON j.workshop = mine AND j.name = h.job
    )
    SELECT t.job, t.bay, t.title, t.seq, t.key, t.kind, t.step, t.at_ms, ts_headline('pg_catalog.english', t.text, wanted, CASE
           WHEN length(t.text) < 600 THEN 'HighlightAll=true, ' ELSE 'MaxFragments=2, MaxWords=40, MinWords=15, ' END
           || U&'StartSel=\E000, StopSel=\E001'), t.total
      FROM told t ORDER BY t.at_ms DESC, t.job, t.seq, t.key;
END $$;

REVOKE ALL ON FUNCTION shop.plain_text, shop.vector, shop.is_searched, shop.note_words, shop.drop_words, shop.note_title,
    shop.search FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.search TO shop_office;
