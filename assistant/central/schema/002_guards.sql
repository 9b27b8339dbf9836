-- Nothing that was kept is changed or removed, by whoever asks; and nobody sees another workshop's rows.

CREATE FUNCTION shop.refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'SH001';
END $$;

CREATE TRIGGER entry_stays BEFORE UPDATE OR DELETE ON shop.entry
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('an entry cannot be changed or removed');
CREATE TRIGGER entry_not_emptied BEFORE TRUNCATE ON shop.entry
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('entries cannot be removed');
CREATE TRIGGER aside_stays BEFORE UPDATE OR DELETE ON shop.aside
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('what was set aside cannot be changed or removed');
CREATE TRIGGER aside_not_emptied BEFORE TRUNCATE ON shop.aside
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('what was set aside cannot be removed');
CREATE TRIGGER job_not_removed BEFORE DELETE ON shop.job
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('a job cannot be removed');
CREATE TRIGGER job_not_emptied BEFORE TRUNCATE ON shop.job
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('jobs cannot be removed');
CREATE TRIGGER personal_stays BEFORE UPDATE ON shop.personal
    FOR EACH ROW EXECUTE FUNCTION shop.refuse('what was said cannot be changed');
CREATE TRIGGER personal_not_emptied BEFORE TRUNCATE ON shop.personal
    FOR EACH STATEMENT EXECUTE FUNCTION shop.refuse('what was said can only be removed by forgetting its job');

CREATE FUNCTION shop.only_forward() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF (NEW.workshop, NEW.name, NEW.bay, NEW.month, NEW.opened_ms) IS DISTINCT FROM
       (OLD.workshop, OLD.name, OLD.bay, OLD.month, OLD.opened_ms) OR NEW.seq <= OLD.seq THEN
        RAISE EXCEPTION 'the end of a job only moves on' USING ERRCODE = 'SH001';
    END IF;
    RETURN NEW;
END $$;
CREATE TRIGGER job_forward BEFORE UPDATE ON shop.job FOR EACH ROW EXECUTE FUNCTION shop.only_forward();

-- Also by hand, by the owner: an entry goes behind the end of its job, and nowhere else.
CREATE FUNCTION shop.in_order() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    ended record;
BEGIN
    SELECT seq, hash INTO ended FROM shop.entry
     WHERE workshop = NEW.workshop AND month = NEW.month AND job = NEW.job ORDER BY seq DESC LIMIT 1;
    IF NEW.seq <> coalesce(ended.seq, 0) + 1 OR NEW.prev <> coalesce(ended.hash, decode(repeat('00', 32), 'hex')) THEN
        RAISE EXCEPTION 'an entry must follow the last one of its job' USING ERRCODE = 'SH001';
    END IF;
    RETURN NEW;
END $$;
CREATE TRIGGER entry_in_order BEFORE INSERT ON shop.entry FOR EACH ROW EXECUTE FUNCTION shop.in_order();

CREATE FUNCTION shop.only_forgotten() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT EXISTS (SELECT 1 FROM shop.entry WHERE workshop = OLD.workshop AND month = OLD.month AND job = OLD.job
                   AND kind = 'forgotten') THEN
        RAISE EXCEPTION 'what was said can only be removed by forgetting its job' USING ERRCODE = 'SH001';
    END IF;
    RETURN OLD;
END $$;
CREATE TRIGGER personal_forgotten BEFORE DELETE ON shop.personal FOR EACH ROW EXECUTE FUNCTION shop.only_forgotten();

-- The workshop of whoever asks; NULL for a login that is none of ours. session_user: no function of ours changes it.
CREATE FUNCTION shop.my_workshop() RETURNS text LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS
$$ SELECT workshop FROM shop.member WHERE login = session_user $$;

CREATE FUNCTION shop.my_bay() RETURNS text LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS
$$ SELECT bay FROM shop.member WHERE login = session_user $$;

ALTER TABLE shop.workshop ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.member ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.job ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.entry ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.personal ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.aside ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.lease ENABLE ROW LEVEL SECURITY;
-- The subselect is asked once for a query, not once for a row.
CREATE POLICY mine ON shop.workshop FOR SELECT USING (name = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.member FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.job FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.entry FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.personal FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.aside FOR SELECT USING (workshop = (SELECT shop.my_workshop()));
CREATE POLICY mine ON shop.lease FOR SELECT USING (workshop = (SELECT shop.my_workshop()));

GRANT USAGE ON SCHEMA shop TO shop_bay, shop_office;
GRANT SELECT ON shop.workshop, shop.member, shop.job, shop.entry, shop.personal, shop.aside, shop.lease, shop.known_kind
    TO shop_bay, shop_office;
