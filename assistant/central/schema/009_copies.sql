-- Where copies of a job are, and whether what people said in it is gone from each once it was forgotten.

CREATE TABLE shop.copy (
    workshop     text NOT NULL,
    job          text NOT NULL,
    bay          text NOT NULL,
    fetched_at   timestamptz NOT NULL DEFAULT clock_timestamp(),
    forget_since timestamptz,  -- when the store learned that the job was forgotten; NULL while it was not
    gone_at      timestamptz,  -- when the bay confirmed that it is gone from its copy
    PRIMARY KEY (workshop, job, bay),
    FOREIGN KEY (workshop, job) REFERENCES shop.job (workshop, name)
);
CREATE INDEX copy_to_forget ON shop.copy (workshop, bay) WHERE forget_since IS NOT NULL AND gone_at IS NULL;

-- When what was said in a job was gone from the files of the store too, not from its rows alone.
CREATE TABLE shop.swept (
    workshop text NOT NULL,
    job      text NOT NULL,
    at       timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, job, at),
    FOREIGN KEY (workshop, job) REFERENCES shop.job (workshop, name)
);

CREATE TRIGGER copy_not_removed BEFORE DELETE ON shop.copy
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('the note of a copy cannot be removed');
CREATE TRIGGER copy_not_emptied BEFORE TRUNCATE ON shop.copy
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('the notes of copies cannot be removed');
CREATE TRIGGER swept_stays BEFORE UPDATE OR DELETE ON shop.swept
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('what was swept out cannot be changed or removed');
CREATE TRIGGER swept_not_emptied BEFORE TRUNCATE ON shop.swept
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('what was swept out cannot be removed');

-- What a bay confirmed stays, unless it fetched the job once more.
CREATE FUNCTION shop.copy_only_forward() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF (NEW.workshop, NEW.job, NEW.bay) IS DISTINCT FROM (OLD.workshop, OLD.job, OLD.bay) OR NEW.fetched_at < OLD.fetched_at
       OR (OLD.gone_at IS NOT NULL AND NEW.gone_at IS DISTINCT FROM OLD.gone_at AND NEW.fetched_at = OLD.fetched_at) THEN
        RAISE EXCEPTION 'what was noted of a copy cannot be changed' USING ERRCODE = 'SH001';
    END IF;
    RETURN NEW;
END $$;
CREATE TRIGGER copy_forward BEFORE UPDATE ON shop.copy FOR EACH ROW EXECUTE FUNCTION shop.copy_only_forward();

-- A bay is about to fetch a job: noted before it has it.
CREATE FUNCTION shop.note_copy(of_job text) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    mine text := shop.my_workshop();
    since timestamptz;
BEGIN
    IF NOT EXISTS (SELECT 1 FROM shop.job WHERE workshop = mine AND name = of_job) THEN RETURN; END IF;
    SELECT min(e.received_at) INTO since FROM shop.entry e JOIN shop.job j ON j.workshop = mine AND j.name = of_job
     WHERE e.workshop = mine AND e.month = j.month AND e.job = of_job AND e.kind = 'forgotten';
    INSERT INTO shop.copy (workshop, job, bay, forget_since) VALUES (mine, of_job, shop.my_bay(), since)
    ON CONFLICT (workshop, job, bay) DO UPDATE SET fetched_at = clock_timestamp(), forget_since = since, gone_at = NULL;
END $$;

-- The copy of a job in this bay is rid of what people said; harmless when that was told before.
CREATE FUNCTION shop.copy_forgotten(of_job text) RETURNS void LANGUAGE sql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    UPDATE shop.copy SET gone_at = clock_timestamp()
     WHERE workshop = shop.my_workshop() AND job = of_job AND bay = shop.my_bay() AND gone_at IS NULL AND forget_since IS NOT NULL
$$;

-- The jobs whose copy in this bay is to be rid of what people said.
CREATE FUNCTION shop.copies_to_forget() RETURNS SETOF text LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    SELECT job FROM shop.copy
     WHERE workshop = shop.my_workshop() AND bay = shop.my_bay() AND forget_since IS NOT NULL AND gone_at IS NULL ORDER BY job
$$;

-- With the entry that says that a job was forgotten: every bay that opened it, wrote into it or fetched it has a copy. In the
-- bay that wrote that entry the words went with it.
CREATE FUNCTION shop.copies_are_to_go() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    INSERT INTO shop.copy (workshop, job, bay, fetched_at)
    SELECT NEW.workshop, NEW.job, j.bay, to_timestamp(j.opened_ms / 1000.0) FROM shop.job j
     WHERE j.workshop = NEW.workshop AND j.name = NEW.job
    ON CONFLICT DO NOTHING;
    INSERT INTO shop.copy (workshop, job, bay, fetched_at)
    SELECT NEW.workshop, NEW.job, e.sent_by, min(e.received_at) FROM shop.entry e
     WHERE e.workshop = NEW.workshop AND e.month = NEW.month AND e.job = NEW.job GROUP BY e.sent_by
    ON CONFLICT DO NOTHING;
    UPDATE shop.copy SET forget_since = NEW.received_at, gone_at = CASE WHEN bay = NEW.sent_by THEN NEW.received_at ELSE gone_at END
     WHERE workshop = NEW.workshop AND job = NEW.job AND forget_since IS NULL;
    RETURN NULL;
END $$;
CREATE TRIGGER entry_forgotten AFTER INSERT ON shop.entry FOR EACH ROW WHEN (NEW.kind = 'forgotten')
    EXECUTE FUNCTION shop.copies_are_to_go();

ALTER TABLE shop.copy ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.swept ENABLE ROW LEVEL SECURITY;
CREATE POLICY mine ON shop.copy FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.swept FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
GRANT SELECT ON shop.copy, shop.swept TO shop_bay, shop_office;
REVOKE ALL ON FUNCTION shop.copy_only_forward, shop.note_copy, shop.copy_forgotten, shop.copies_to_forget, shop.copies_are_to_go
    FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.note_copy, shop.copy_forgotten, shop.copies_to_forget TO shop_bay, shop_office;
