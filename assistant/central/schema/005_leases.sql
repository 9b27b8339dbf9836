-- A lease is put in the place of the one that was seen, or not at all: the rules are in assistant/journal/leasing.py.
CREATE FUNCTION shop.swap_lease(
    of_job text, seen text, new_token text, new_host text, new_pid integer, new_until_ms bigint
) RETURNS boolean LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    PERFORM 1 FROM shop.job WHERE workshop = shop.my_workshop() AND name = of_job FOR UPDATE;
    IF NOT FOUND OR seen <> coalesce((SELECT token FROM shop.lease WHERE workshop = shop.my_workshop() AND job = of_job), '') THEN
        RETURN false;
    END IF;
    INSERT INTO shop.lease (workshop, job, token, bay, host, pid, until_ms)
    VALUES (shop.my_workshop(), of_job, new_token, shop.my_bay(), new_host, new_pid, new_until_ms)
    ON CONFLICT (workshop, job) DO UPDATE SET token = new_token, bay = shop.my_bay(), host = new_host, pid = new_pid,
        until_ms = new_until_ms;
    RETURN true;
END $$;

CREATE FUNCTION shop.drop_lease(of_job text, of_token text) RETURNS void LANGUAGE sql SECURITY DEFINER SET search_path = shop, pg_temp AS
$$ DELETE FROM shop.lease WHERE workshop = shop.my_workshop() AND job = of_job AND token = of_token $$;

REVOKE ALL ON FUNCTION shop.swap_lease, shop.drop_lease FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.swap_lease, shop.drop_lease TO shop_bay, shop_office;
