-- The photos of jobs: the files that entries name by their SHA-256. One that no entry names is not taken; one that was dropped
-- by word goes with the entry that says so, and all of a job go with the entry that says that it was forgotten.

CREATE TABLE shop.photo (
    workshop    text NOT NULL,
    month       date NOT NULL,  -- of its job, so that a year can be put away as a whole
    job         text NOT NULL,
    sha256      text NOT NULL,
    content     bytea NOT NULL CONSTRAINT photo_size CHECK (octet_length(content) BETWEEN 1 AND 8000000),
    sent_by     text NOT NULL,
    received_at timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, month, job, sha256),
    CONSTRAINT photo_hash CHECK (sha256 = encode(sha256(content), 'hex')),
    CONSTRAINT photo_form CHECK (substring(content FROM 1 FOR 2) = '\xffd8')  -- a JPEG begins so (T.81, annex B)
) PARTITION BY LIST (workshop);
ALTER TABLE shop.photo ALTER COLUMN content SET STORAGE EXTERNAL;  -- a JPEG does not get smaller

CREATE FUNCTION shop.make_photo_room(for_workshop text, for_month date) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
    whole text := format('photo_%s', for_workshop);
    part text := format('photo_%s_%s', for_workshop, to_char(for_month, 'YYYY_MM'));
BEGIN
    IF to_regclass(format('shop.%I', part)) IS NOT NULL THEN RETURN; END IF;
    PERFORM pg_advisory_xact_lock(hashtext('shop.make_room ' || for_workshop));
    EXECUTE format('CREATE TABLE IF NOT EXISTS shop.%I PARTITION OF shop.photo FOR VALUES IN (%L) PARTITION BY RANGE (month)',
                   whole, for_workshop);
    EXECUTE format('CREATE TABLE IF NOT EXISTS shop.%I PARTITION OF shop.%I FOR VALUES FROM (%L) TO (%L)',
                   part, whole, for_month, (for_month + interval '1 month')::date);
END $$;

-- Whether the entries of a job say that it has this photo: taken, not dropped since, and the job not forgotten.
CREATE FUNCTION shop.photo_counts(of_workshop text, of_month date, of_job text, of_sha256 text) RETURNS boolean
LANGUAGE plpgsql STABLE SET plan_cache_mode = force_custom_plan AS $$
BEGIN
    RETURN EXISTS (SELECT 1 FROM shop.entry t
         WHERE t.workshop = of_workshop AND t.month = of_month AND t.job = of_job AND t.kind = 'photo_taken'
           AND shop.text_in(t.data, 'sha256') = of_sha256
           AND NOT EXISTS (SELECT 1 FROM shop.entry d
                WHERE d.workshop = of_workshop AND d.month = of_month AND d.job = of_job AND d.kind = 'photo_dropped'
                  AND d.seq > t.seq AND shop.text_in(d.data, 'number') = shop.text_in(t.data, 'number')))
       AND NOT EXISTS (SELECT 1 FROM shop.entry f
         WHERE f.workshop = of_workshop AND f.month = of_month AND f.job = of_job AND f.kind = 'forgotten');
END $$;

CREATE TRIGGER photo_stays BEFORE UPDATE ON shop.photo
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('a photo cannot be changed');
CREATE TRIGGER photo_not_emptied BEFORE TRUNCATE ON shop.photo
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('photos can only be removed by dropping them or forgetting their job');

-- Also by hand, by the owner.
CREATE FUNCTION shop.photo_as_told() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_OP = 'INSERT' THEN
        IF NOT shop.photo_counts(NEW.workshop, NEW.month, NEW.job, NEW.sha256) THEN
            RAISE EXCEPTION 'no entry names that photo' USING ERRCODE = 'SH001';
        END IF;
        RETURN NEW;
    END IF;
    IF shop.photo_counts(OLD.workshop, OLD.month, OLD.job, OLD.sha256) THEN
        RAISE EXCEPTION 'photos can only be removed by dropping them or forgetting their job' USING ERRCODE = 'SH001';
    END IF;
    RETURN OLD;
END $$;
CREATE TRIGGER photo_told BEFORE INSERT OR DELETE ON shop.photo FOR EACH ROW EXECUTE FUNCTION shop.photo_as_told();

-- Keep a photo of a job, from whichever bay of the workshop has it: its hash, which an entry names, says what it is. Returns ""
-- when it is here, or why it is not taken:
--   large    more than 8 MB, or nothing      hash     it is another one        form  it is no JPEG
--   unnamed  no entry names it any more      away     the job, or its month, is not here
CREATE FUNCTION shop.receive_photo(of_job text, of_sha256 text, of_content bytea) RETURNS text
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp SET plan_cache_mode = force_custom_plan AS $$
DECLARE
    mine text := shop.my_workshop();
    of_month date;
BEGIN
    IF mine IS NULL THEN
        RAISE EXCEPTION 'unknown login' USING ERRCODE = 'SH002';
    END IF;
    IF coalesce(octet_length(of_content), 0) NOT BETWEEN 1 AND 8000000 THEN RETURN 'large'; END IF;
    IF encode(sha256(of_content), 'hex') IS DISTINCT FROM of_sha256 THEN RETURN 'hash'; END IF;
    IF substring(of_content FROM 1 FOR 2) <> '\xffd8' THEN RETURN 'form'; END IF;
    -- Never at once with an entry of this job, which may say that the photo goes.
    SELECT j.month INTO of_month FROM shop.job j WHERE j.workshop = mine AND j.name = of_job FOR UPDATE;
    IF NOT FOUND OR NOT EXISTS (SELECT 1 FROM shop.entry e WHERE e.workshop = mine AND e.month = of_month AND e.job = of_job) THEN
        RETURN 'away';
    END IF;
    IF NOT shop.photo_counts(mine, of_month, of_job, of_sha256) THEN RETURN 'unnamed'; END IF;
    PERFORM shop.make_photo_room(mine, of_month);
    INSERT INTO shop.photo (workshop, month, job, sha256, content, sent_by)
    VALUES (mine, of_month, of_job, of_sha256, of_content, shop.my_bay()) ON CONFLICT DO NOTHING;
    RETURN '';
END $$;

CREATE FUNCTION shop.photos_go() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp
SET plan_cache_mode = force_custom_plan AS $$
BEGIN
    DELETE FROM shop.photo p WHERE p.workshop = NEW.workshop AND p.month = NEW.month AND p.job = NEW.job
       AND NOT shop.photo_counts(p.workshop, p.month, p.job, p.sha256);
    RETURN NULL;
END $$;
CREATE TRIGGER entry_drops_photos AFTER INSERT ON shop.entry FOR EACH ROW WHEN (NEW.kind IN ('forgotten', 'photo_dropped'))
    EXECUTE FUNCTION shop.photos_go();

-- As before, but a job with photos is gone from the bay that forgot it when that bay confirms it: the files go behind the words.
CREATE OR REPLACE FUNCTION shop.copies_are_to_go() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER
SET search_path = shop, pg_temp AS $$
DECLARE
    has_photos boolean := EXISTS (SELECT 1 FROM shop.entry e
        WHERE e.workshop = NEW.workshop AND e.month = NEW.month AND e.job = NEW.job AND e.kind = 'photo_taken');
BEGIN
    INSERT INTO shop.copy (workshop, job, bay, fetched_at)
    SELECT NEW.workshop, NEW.job, j.bay, to_timestamp(j.opened_ms / 1000.0) FROM shop.job j
     WHERE j.workshop = NEW.workshop AND j.name = NEW.job
    ON CONFLICT DO NOTHING;
    INSERT INTO shop.copy (workshop, job, bay, fetched_at)
    SELECT NEW.workshop, NEW.job, e.sent_by, min(e.received_at) FROM shop.entry e
     WHERE e.workshop = NEW.workshop AND e.month = NEW.month AND e.job = NEW.job GROUP BY e.sent_by
    ON CONFLICT DO NOTHING;
    UPDATE shop.copy SET forget_since = NEW.received_at,
           gone_at = CASE WHEN bay = NEW.sent_by AND NOT has_photos THEN NEW.received_at ELSE gone_at END
     WHERE workshop = NEW.workshop AND job = NEW.job AND forget_since IS NULL;
    RETURN NULL;
END $$;

ALTER TABLE shop.photo ENABLE ROW LEVEL SECURITY;
CREATE POLICY mine ON shop.photo FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
GRANT SELECT ON shop.photo TO shop_bay, shop_office;
REVOKE ALL ON FUNCTION shop.make_photo_room, shop.photo_counts, shop.photo_as_told, shop.receive_photo, shop.photos_go FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.receive_photo TO shop_bay;
