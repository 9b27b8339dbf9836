-- Who may log in, made by the administrator: he hands over a verifier, never the token itself (RFC 5803).

CREATE FUNCTION shop.add_workshop(called text) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    INSERT INTO shop.workshop (name) VALUES (called) ON CONFLICT DO NOTHING;
    EXECUTE format('CREATE TABLE IF NOT EXISTS shop.%I PARTITION OF shop.entry FOR VALUES IN (%L) PARTITION BY RANGE (month)',
                   'entry_' || called, called);
    EXECUTE format('CREATE TABLE IF NOT EXISTS shop.%I PARTITION OF shop.personal FOR VALUES IN (%L) PARTITION BY RANGE (month)',
                   'personal_' || called, called);
END $$;

-- By whoever calls it: only an administrator may make roles.
CREATE FUNCTION shop.add_login(login_ text, workshop_ text, role_ text, bay_ text, verifier text) RETURNS void LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM pg_roles WHERE rolname = login_) THEN
        EXECUTE format('ALTER ROLE %I LOGIN PASSWORD %L', login_, verifier);
    ELSE
        EXECUTE format('CREATE ROLE %I LOGIN PASSWORD %L', login_, verifier);
    END IF;
    EXECUTE format('GRANT %I TO %I', 'shop_' || role_, login_);
    INSERT INTO shop.member (login, workshop, role, bay) VALUES (login_, workshop_, role_, bay_)
    ON CONFLICT (login) DO NOTHING;
END $$;

-- The login of a bay that is no more, or whose token was seen, ends; what it sent stays.
CREATE FUNCTION shop.end_login(login_ text) RETURNS void LANGUAGE plpgsql AS $$
BEGIN
    EXECUTE format('ALTER ROLE %I NOLOGIN PASSWORD NULL', login_);
    PERFORM pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = login_;
END $$;

REVOKE ALL ON FUNCTION shop.add_workshop, shop.add_login, shop.end_login FROM PUBLIC;
