-- A job moves from bay to bay by its lease. The times of a lease are those of the store's own clock, so that no bay's clock counts.
ALTER TABLE shop.lease ADD COLUMN wanted_by text NOT NULL DEFAULT '', ADD COLUMN wanted_ms bigint NOT NULL DEFAULT 0;

CREATE FUNCTION shop.now_ms() RETURNS bigint LANGUAGE sql VOLATILE AS $$ SELECT (extract(epoch FROM clock_timestamp()) * 1000)::bigint $$;

-- A new job is held by the bay that opened it from its first entry on: nobody gets it without that bay's leave.
CREATE FUNCTION shop.held_from_the_first() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    INSERT INTO shop.lease (workshop, job, token, bay, host, pid, until_ms)
    VALUES (NEW.workshop, NEW.name, gen_random_uuid()::text, NEW.bay, '', 0, shop.now_ms() + 120000);
    RETURN NULL;
END $$;
CREATE TRIGGER job_held AFTER INSERT ON shop.job FOR EACH ROW EXECUTE FUNCTION shop.held_from_the_first();

-- A bay says which jobs it has, again and again. Returns of each who has it, and who asked for it within the last minute.
CREATE FUNCTION shop.hold_jobs(of_jobs text[], of_tokens text[], of_host text, of_pids integer[], for_ms bigint)
RETURNS TABLE (job text, holder text, host text, wanted_by text)
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    mine text := shop.my_workshop();
    sender text := shop.my_bay();
    there shop.lease%ROWTYPE;
BEGIN
    FOR i IN 1 .. coalesce(array_length(of_jobs, 1), 0) LOOP
        PERFORM 1 FROM shop.job j WHERE j.workshop = mine AND j.name = of_jobs[i] FOR UPDATE;
        CONTINUE WHEN NOT FOUND;
        SELECT * INTO there FROM shop.lease l WHERE l.workshop = mine AND l.job = of_jobs[i];
        job := of_jobs[i]; wanted_by := '';
        IF there.job IS NOT NULL AND there.bay <> sender THEN
            holder := there.bay; host := there.host;
        ELSE
            INSERT INTO shop.lease AS l (workshop, job, token, bay, host, pid, until_ms)
            VALUES (mine, of_jobs[i], of_tokens[i], sender, of_host, of_pids[i], shop.now_ms() + for_ms)
            ON CONFLICT ON CONSTRAINT lease_pkey DO UPDATE SET token = of_tokens[i], host = of_host, pid = of_pids[i],
                until_ms = shop.now_ms() + for_ms;
            holder := sender; host := of_host;
            IF there.wanted_ms > shop.now_ms() - 60000 THEN wanted_by := there.wanted_by; END IF;
        END IF;
        RETURN NEXT;
    END LOOP;
END $$;

-- A bay lets a job go: who asked for it gets it, else it is free.
CREATE FUNCTION shop.give_job(of_job text) RETURNS void LANGUAGE sql SECURITY DEFINER SET search_path = shop, pg_temp AS
$$ DELETE FROM shop.lease WHERE workshop = shop.my_workshop() AND job = of_job AND bay = shop.my_bay() $$;

-- A bay wants a job. how: yours; asked (who has it is alive, and was asked); silent (who has it was not heard of, and was not
-- named in from_bay); unknown.
CREATE FUNCTION shop.want_job(of_job text, from_bay text, of_token text, of_host text, of_pid integer, for_ms bigint,
    OUT how text, OUT holder text, OUT until_ms bigint
) LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    mine text := shop.my_workshop();
    sender text := shop.my_bay();
    there shop.lease%ROWTYPE;
BEGIN
    PERFORM 1 FROM shop.job WHERE workshop = mine AND name = of_job FOR UPDATE;
    IF NOT FOUND THEN how := 'unknown'; RETURN; END IF;
    SELECT * INTO there FROM shop.lease l WHERE l.workshop = mine AND l.job = of_job;
    holder := there.bay; until_ms := there.until_ms;
    IF there.job IS NOT NULL AND there.bay <> sender THEN
        IF there.until_ms > shop.now_ms() THEN
            UPDATE shop.lease l SET wanted_by = sender, wanted_ms = shop.now_ms() WHERE l.workshop = mine AND l.job = of_job;
            PERFORM pg_notify('want_' || mine || '_' || there.bay, of_job);
            how := 'asked'; RETURN;
        ELSIF there.bay <> from_bay THEN
            how := 'silent'; RETURN;
        END IF;
    END IF;
    INSERT INTO shop.lease AS l (workshop, job, token, bay, host, pid, until_ms)
    VALUES (mine, of_job, of_token, sender, of_host, of_pid, shop.now_ms() + for_ms)
    ON CONFLICT (workshop, job) DO UPDATE SET token = of_token, bay = sender, host = of_host, pid = of_pid,
        until_ms = shop.now_ms() + for_ms, wanted_by = '', wanted_ms = 0;
    how := 'yours'; holder := sender; until_ms := shop.now_ms() + for_ms;
    PERFORM pg_notify('shop_' || mine, of_job);
END $$;

-- The open jobs that other bays opened or hold, newest first.
CREATE FUNCTION shop.jobs_elsewhere(at_most integer) RETURNS TABLE (
    name text, title text, procedure_id text, opened_ms bigint, last_ms bigint, turn text, seq integer, holder text
) LANGUAGE sql STABLE AS $$
    SELECT j.name, j.title, j.procedure_id, j.opened_ms, j.last_ms, j.turn, j.seq, coalesce(l.bay, j.bay)
      FROM shop.job j LEFT JOIN shop.lease l ON l.workshop = j.workshop AND l.job = j.name
     WHERE j.turn <> 'closed' AND NOT j.rehearsal AND coalesce(l.bay, j.bay) <> shop.my_bay()
     ORDER BY j.last_ms DESC LIMIT at_most
$$;

REVOKE ALL ON FUNCTION shop.now_ms, shop.hold_jobs, shop.give_job, shop.want_job, shop.jobs_elsewhere, shop.held_from_the_first FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.hold_jobs, shop.give_job, shop.want_job, shop.jobs_elsewhere TO shop_bay, shop_office;
