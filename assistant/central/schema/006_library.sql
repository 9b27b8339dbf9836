-- One library of a workshop: procedures, the pictures they show, tool files, price lists and wordings. What was published
-- stays as it is; who may use it and what was withdrawn are rows of their own, which only become more.

CREATE TABLE shop.published (
    number      bigint GENERATED ALWAYS AS IDENTITY,
    workshop    text NOT NULL REFERENCES shop.workshop,
    kind        text NOT NULL CHECK (kind IN ('procedure', 'picture', 'tools', 'prices', 'wordings')),
    id          text NOT NULL CONSTRAINT id_form CHECK (id ~ '^[A-Za-z0-9][A-Za-z0-9_.-]*$' AND length(id) <= 120),
    revision    text NOT NULL CONSTRAINT revision_form CHECK (revision <> '' AND length(revision) <= 200),
    title       text NOT NULL CHECK (length(title) <= 1000),
    content     bytea NOT NULL CONSTRAINT content_size CHECK (octet_length(content) BETWEEN 1 AND 4000000),
    sha256      text NOT NULL,
    approved    text NOT NULL CHECK (approved IN ('yes', 'changed', 'no', '')),  -- '': of a kind that is not approved
    approved_by text NOT NULL,
    approved_on text NOT NULL,
    shows       text[] NOT NULL,  -- the pictures that a procedure shows, each a name and the SHA-256 of its file in turn
    by          text NOT NULL,
    login       text NOT NULL,
    at          timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, kind, id, revision),
    CONSTRAINT content_hash CHECK (sha256 = encode(sha256(content), 'hex'))
);
CREATE INDEX published_content ON shop.published (workshop, sha256);

-- Who may use it: a bay, or all of them (''), those of later as well.
CREATE TABLE shop.allowed (
    workshop text NOT NULL,
    kind     text NOT NULL,
    id       text NOT NULL,
    revision text NOT NULL,
    bay      text NOT NULL,
    login    text NOT NULL,
    at       timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, kind, id, revision, bay),
    FOREIGN KEY (workshop, kind, id, revision) REFERENCES shop.published
);

CREATE TABLE shop.withdrawn (
    workshop text NOT NULL,
    kind     text NOT NULL,
    id       text NOT NULL,
    revision text NOT NULL,
    reason   text NOT NULL CHECK (reason <> '' AND length(reason) <= 1000),
    by       text NOT NULL,
    login    text NOT NULL,
    at       timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, kind, id, revision),
    FOREIGN KEY (workshop, kind, id, revision) REFERENCES shop.published
);

CREATE TRIGGER published_stays BEFORE UPDATE OR DELETE ON shop.published
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('what was published cannot be changed or removed');
CREATE TRIGGER published_not_emptied BEFORE TRUNCATE ON shop.published
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('what was published cannot be removed');
CREATE TRIGGER allowed_stays BEFORE UPDATE OR DELETE ON shop.allowed
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('who may use what was published cannot be changed or removed');
CREATE TRIGGER allowed_not_emptied BEFORE TRUNCATE ON shop.allowed
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('who may use what was published cannot be removed');
CREATE TRIGGER withdrawn_stays BEFORE UPDATE OR DELETE ON shop.withdrawn
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('a withdrawal cannot be changed or removed');
CREATE TRIGGER withdrawn_not_emptied BEFORE TRUNCATE ON shop.withdrawn
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('a withdrawal cannot be removed');

CREATE FUNCTION shop.is_office() RETURNS boolean LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS
$$ SELECT EXISTS (SELECT 1 FROM member WHERE login = session_user AND role = 'office') $$;

ALTER TABLE shop.published ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.allowed ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.withdrawn ENABLE ROW LEVEL SECURITY;
-- A bay sees what it may use, and nothing else; the office all of its workshop.
CREATE POLICY mine ON shop.allowed FOR SELECT USING (
    workshop = (SELECT shop.my_workshop()) AND ((SELECT shop.is_office()) OR bay IN ('', (SELECT shop.my_bay()))));
CREATE POLICY mine ON shop.published FOR SELECT USING (
    workshop = (SELECT shop.my_workshop()) AND EXISTS (SELECT 1 FROM shop.allowed a WHERE (a.workshop, a.kind, a.id, a.revision)
        = (published.workshop, published.kind, published.id, published.revision)));
CREATE POLICY mine ON shop.withdrawn FOR SELECT USING (
    workshop = (SELECT shop.my_workshop()) AND EXISTS (SELECT 1 FROM shop.allowed a WHERE (a.workshop, a.kind, a.id, a.revision)
        = (withdrawn.workshop, withdrawn.kind, withdrawn.id, withdrawn.revision)));

-- Publish, by the office. The same once more is harmless, and lets more bays use it: true when it is new.
CREATE FUNCTION shop.publish(
    kind_ text, id_ text, revision_ text, title_ text, content_ bytea, approved_ text, approved_by_ text, approved_on_ text,
    shows_ text[], bays_ text[], by_ text
) RETURNS boolean LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    mine text := shop.my_workshop();
    there shop.published%ROWTYPE;
    bay_ text;
BEGIN
    IF mine IS NULL OR NOT shop.is_office() THEN
        RAISE EXCEPTION 'only the office of a workshop publishes' USING ERRCODE = 'SH001';
    END IF;
    PERFORM pg_advisory_xact_lock(hashtext('shop.publish ' || mine));
    FOREACH bay_ IN ARRAY bays_ LOOP
        IF NOT EXISTS (SELECT 1 FROM member m WHERE m.workshop = mine AND m.bay = bay_) THEN
            RAISE EXCEPTION 'there is no bay % in this workshop', quote_ident(bay_) USING ERRCODE = 'SH001';
        END IF;
    END LOOP;
    SELECT * INTO there FROM published p WHERE p.workshop = mine AND p.kind = kind_ AND p.id = id_ AND p.revision = revision_;
    IF there.id IS NULL THEN
        INSERT INTO published (workshop, kind, id, revision, title, content, sha256, approved, approved_by, approved_on,
                               shows, by, login)
        VALUES (mine, kind_, id_, revision_, title_, content_, encode(sha256(content_), 'hex'), approved_, approved_by_,
                approved_on_, shows_, by_, session_user);
    ELSIF there.content <> content_ OR there.shows <> shows_ THEN
        RAISE EXCEPTION 'revision % of % is published with another content, which stays; give the changed one a revision of its own',
            revision_, id_ USING ERRCODE = 'SH001';
    ELSIF EXISTS (SELECT 1 FROM withdrawn w WHERE w.workshop = mine AND w.kind = kind_ AND w.id = id_ AND w.revision = revision_) THEN
        RAISE EXCEPTION 'revision % of % was withdrawn, and does not come back; give it a revision of its own',
            revision_, id_ USING ERRCODE = 'SH001';
    END IF;
    INSERT INTO allowed (workshop, kind, id, revision, bay, login)
    SELECT mine, kind_, id_, revision_, b.bay, session_user FROM unnest(CASE bays_ WHEN '{}' THEN '{""}' ELSE bays_ END) AS b(bay)
    ON CONFLICT DO NOTHING;
    PERFORM pg_notify('shop_library_' || mine, '');
    RETURN there.id IS NULL;
END $$;

-- Withdraw one revision, by the office.
CREATE FUNCTION shop.withdraw(kind_ text, id_ text, revision_ text, reason_ text, by_ text) RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    mine text := shop.my_workshop();
BEGIN
    IF mine IS NULL OR NOT shop.is_office() THEN
        RAISE EXCEPTION 'only the office of a workshop withdraws' USING ERRCODE = 'SH001';
    END IF;
    IF NOT EXISTS (SELECT 1 FROM published p WHERE p.workshop = mine AND p.kind = kind_ AND p.id = id_ AND p.revision = revision_) THEN
        RAISE EXCEPTION 'there is no revision % of %', revision_, id_ USING ERRCODE = 'SH001';
    END IF;
    INSERT INTO withdrawn (workshop, kind, id, revision, reason, by, login)
    VALUES (mine, kind_, id_, revision_, reason_, by_, session_user) ON CONFLICT DO NOTHING;
    IF NOT FOUND THEN
        RAISE EXCEPTION 'revision % of % was withdrawn before', revision_, id_ USING ERRCODE = 'SH001';
    END IF;
    PERFORM pg_notify('shop_library_' || mine, '');
END $$;

REVOKE ALL ON FUNCTION shop.is_office, shop.publish, shop.withdraw FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.is_office TO shop_bay, shop_office;
GRANT EXECUTE ON FUNCTION shop.publish, shop.withdraw TO shop_office;
GRANT SELECT ON shop.published, shop.allowed, shop.withdrawn TO shop_bay, shop_office;
