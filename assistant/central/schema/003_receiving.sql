-- The one way in. Each entry is checked against the end of its job and against its own hash before it is kept; what does
-- not fit is set aside with its reason, and all behind it in the same call too. Nothing is ever overwritten.

-- The SHA-256 of one entry, over the canonical JSON list of its parts, as assistant/journal/chain.py has it. to_json of a
-- text escapes what RFC 8785 escapes, and nothing else.
CREATE FUNCTION shop.chain_hash(
    job text, seq integer, at_ms bigint, kind text, version integer, cause integer, data text, prev text
) RETURNS bytea LANGUAGE sql IMMUTABLE PARALLEL SAFE AS $$
    SELECT sha256(convert_to('[' || to_json(job) || ',' || seq || ',' || at_ms || ',' || to_json(kind) || ',' || version
        || ',' || cause || ',' || to_json(data) || ',' || to_json(prev) || ']', 'UTF8'))
$$;

CREATE FUNCTION shop.make_room(for_workshop text, for_month date) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
    what text;
    whole text;
    part text;
BEGIN
    FOREACH what IN ARRAY ARRAY['entry', 'personal'] LOOP
        whole := format('%s_%s', what, for_workshop);
        part := format('%s_%s', whole, to_char(for_month, 'YYYY_MM'));
        CONTINUE WHEN to_regclass(format('shop.%I', part)) IS NOT NULL;
        PERFORM pg_advisory_xact_lock(hashtext('shop.make_room ' || for_workshop));
        EXECUTE format('CREATE TABLE IF NOT EXISTS shop.%I PARTITION OF shop.%I FOR VALUES FROM (%L) TO (%L)',
                       part, whole, for_month, (for_month + interval '1 month')::date);
    END LOOP;
END $$;

CREATE FUNCTION shop.put_aside(
    of_job text, of_seq integer, of_hash text, of_why text, of_entry jsonb, of_raw bytea DEFAULT NULL
) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    IF shop.my_workshop() IS NULL THEN
        RAISE EXCEPTION 'unknown login' USING ERRCODE = 'SH002';
    END IF;
    INSERT INTO shop.aside (workshop, sent_by, job, seq, hash, why, entry, raw)
    VALUES (shop.my_workshop(), shop.my_bay(), left(of_job, 200), of_seq, left(of_hash, 200), left(of_why, 40), of_entry,
            substring(of_raw FROM 1 FOR 1048576))
    ON CONFLICT DO NOTHING;
END $$;

CREATE TYPE shop.received AS (ended integer, why text, at_seq integer);

-- Whether a text is a JSON mapping; and a text in it, "" where there is none that can be kept.
CREATE FUNCTION shop.is_mapping(data text) RETURNS boolean LANGUAGE plpgsql IMMUTABLE AS $$
BEGIN
    RETURN json_typeof(data::json) = 'object';
EXCEPTION WHEN OTHERS THEN
    RETURN false;
END $$;
CREATE FUNCTION shop.text_in(data text, key text) RETURNS text LANGUAGE plpgsql IMMUTABLE AS $$
BEGIN
    RETURN coalesce(data::json ->> key, '');
EXCEPTION WHEN OTHERS THEN
    RETURN '';
END $$;

-- Keep entries of one job, in order. Returns where the job ends now, and why nothing more was kept: "" (all is here),
-- gap (send from `ended` + 1 on), or the reason for which what begins at `at_seq` was set aside:
--   bay     a job of another bay is opened        held   another bay has the job
--   fork    another entry of this number is here  chain  it does not follow, or its hash is not its own
--   newer   a kind, or a version of its fields, that this store does not know
--   large   more than 1 MiB                       form   it is no entry
--   said    what was said is not what it was sealed with    away   the month of the job was put away
CREATE FUNCTION shop.receive(
    of_job text, of_bay text, seqs integer[], ats bigint[], kinds text[], versions integer[], causes integer[],
    datas text[], prevs text[], hashes text[],
    said_seqs integer[], said_keys text[], said_salts text[], said_values text[],
    OUT ended integer, OUT why text, OUT at_seq integer
) LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    mine text := shop.my_workshop();
    sender text := shop.my_bay();
    n integer := coalesce(array_length(seqs, 1), 0);
    there shop.job%ROWTYPE;
    first_new integer := 0;   -- the place of the first entry that is not here yet
    good integer := 0;        -- the place of the last that can be kept
    tail bytea;
    known integer;
    is_new boolean := false;
BEGIN
    IF mine IS NULL THEN
        RAISE EXCEPTION 'unknown login' USING ERRCODE = 'SH002';
    END IF;
    why := ''; at_seq := 0;
    SELECT * INTO there FROM shop.job WHERE workshop = mine AND name = of_job FOR UPDATE;
    IF there.name IS NULL AND n > 0 AND seqs[1] = 1 THEN
        is_new := true;
        there.seq := 0; there.hash := decode(repeat('00', 32), 'hex');
        there.month := date_trunc('month', to_timestamp(least(greatest(ats[1], 0), 4102444800000) / 1000.0) AT TIME ZONE 'UTC');
        there.turn := '';
    END IF;
    ended := coalesce(there.seq, 0); tail := there.hash;
    IF n = 0 THEN RETURN; END IF;
    IF there.name IS NULL AND NOT is_new THEN why := 'gap'; RETURN; END IF;

    FOR i IN 1 .. n LOOP
        IF seqs[i] <= there.seq THEN
            why := coalesce((SELECT CASE WHEN encode(e.hash, 'hex') = hashes[i] THEN '' ELSE 'fork' END FROM shop.entry e
                WHERE e.workshop = mine AND e.month = there.month AND e.job = of_job AND e.seq = seqs[i]), 'away');
        ELSIF seqs[i] > ended + 1 THEN
            why := 'gap'; EXIT;
        ELSIF is_new AND i = 1 AND (of_bay <> sender OR left(of_job, length(of_bay) + 1) <> of_bay || '-') THEN
            why := 'bay';
        ELSIF EXISTS (SELECT 1 FROM shop.lease l WHERE l.workshop = mine AND l.job = of_job AND l.bay <> sender) THEN
            why := 'held';
        ELSIF octet_length(datas[i]) > 1048576 THEN
            why := 'large';
        ELSIF seqs[i] IS NULL OR ats[i] IS NULL OR ats[i] < 0 OR coalesce(kinds[i], '') = '' OR coalesce(versions[i], 0) < 1
              OR causes[i] IS NULL OR causes[i] NOT BETWEEN 0 AND seqs[i] - 1 OR NOT shop.is_mapping(datas[i])
              OR seqs[i] <> ended + 1 THEN
            why := 'form';
        ELSIF prevs[i] IS DISTINCT FROM encode(tail, 'hex') OR hashes[i] IS DISTINCT FROM encode(shop.chain_hash(
                of_job, seqs[i], ats[i], kinds[i], versions[i], causes[i], datas[i], prevs[i]), 'hex') THEN
            why := 'chain';
        ELSIF coalesce((SELECT k.version FROM shop.known_kind k WHERE k.kind = kinds[i]), 0) < versions[i] THEN
            why := 'newer';
        ELSE
            IF first_new = 0 THEN first_new := i; END IF;
            good := i; ended := seqs[i]; tail := decode(hashes[i], 'hex');
        END IF;
        IF why <> '' THEN at_seq := seqs[i]; EXIT; END IF;
    END LOOP;

    IF why = '' OR at_seq > 0 THEN
        SELECT min(s.seq) INTO known FROM unnest(said_seqs, said_keys, said_salts, said_values) AS s(seq, key, salt, value)
         WHERE s.seq BETWEEN seqs[nullif(first_new, 0)] AND ended AND encode(sha256(convert_to(s.salt || s.value, 'UTF8')), 'hex')
               IS DISTINCT FROM (datas[array_position(seqs, s.seq)]::json -> s.key ->> 'sealed');
        IF known IS NOT NULL THEN
            why := 'said'; at_seq := known;
            good := array_position(seqs, known) - 1;
            ended := known - 1;
            IF good < first_new THEN first_new := 0; ELSE tail := decode(hashes[good], 'hex'); END IF;
        END IF;
    END IF;

    IF first_new > 0 THEN
        PERFORM shop.make_room(mine, there.month);
        IF is_new THEN
            INSERT INTO shop.job (workshop, name, bay, month, opened_ms, last_ms, title, procedure_id, rehearsal, turn, seq, hash)
            VALUES (mine, of_job, of_bay, there.month, ats[1], ats[1], shop.text_in(datas[1], 'title'),
                    shop.text_in(datas[1], 'procedure_id'), shop.text_in(datas[1], 'rehearsal') = 'true', '', 0, there.hash)
            ON CONFLICT DO NOTHING;
            IF NOT FOUND THEN  -- two at once: whoever comes second sends again
                ended := 0; why := 'gap'; at_seq := 0; RETURN;
            END IF;
        END IF;
        INSERT INTO shop.entry (workshop, month, job, seq, at_ms, kind, version, cause, data, prev, hash, sent_by)
        SELECT mine, there.month, of_job, e.seq, e.at_ms, e.kind, e.version, e.cause, e.data, decode(e.prev, 'hex'),
               decode(e.hash, 'hex'), sender
          FROM unnest(seqs[first_new:good], ats[first_new:good], kinds[first_new:good], versions[first_new:good],
                      causes[first_new:good], datas[first_new:good], prevs[first_new:good], hashes[first_new:good])
               AS e(seq, at_ms, kind, version, cause, data, prev, hash);
        IF EXISTS (SELECT 1 FROM shop.entry e WHERE e.workshop = mine AND e.month = there.month AND e.job = of_job
                   AND e.kind = 'forgotten') THEN
            DELETE FROM shop.personal p WHERE p.workshop = mine AND p.month = there.month AND p.job = of_job;
        ELSE
            INSERT INTO shop.personal (workshop, month, job, seq, key, salt, value)
            SELECT mine, there.month, of_job, s.seq, s.key, s.salt, s.value
              FROM unnest(said_seqs, said_keys, said_salts, said_values) AS s(seq, key, salt, value)
             WHERE s.seq BETWEEN seqs[first_new] AND ended;
        END IF;
        UPDATE shop.job j SET seq = ended, hash = tail, last_ms = ats[good], changed_at = clock_timestamp(),
               turn = coalesce((SELECT k.kind FROM unnest(kinds[first_new:good]) WITH ORDINALITY AS n(kind, place)
                                JOIN shop.known_kind k USING (kind) WHERE k.turns ORDER BY place DESC LIMIT 1), j.turn)
         WHERE j.workshop = mine AND j.name = of_job;
        PERFORM pg_notify('shop_' || mine, of_job);
    END IF;

    IF at_seq > 0 THEN  -- what is wrong, and all behind it: it cannot be kept without what it follows
        FOR i IN 1 .. n LOOP
            CONTINUE WHEN seqs[i] < at_seq;
            PERFORM shop.put_aside(of_job, seqs[i], coalesce(hashes[i], ''), why, jsonb_build_object('bay', of_bay,
                'at_ms', ats[i], 'kind', kinds[i], 'version', versions[i], 'cause', causes[i], 'prev', prevs[i],
                'data', left(datas[i], 1048576)));
        END LOOP;
    END IF;
END $$;

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA shop FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.my_workshop, shop.my_bay, shop.receive, shop.put_aside TO shop_bay, shop_office;
