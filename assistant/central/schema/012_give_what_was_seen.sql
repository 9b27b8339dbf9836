-- A bay lets go the lease that it saw, and not the one by which it is bringing the job back meanwhile.
CREATE FUNCTION shop.give_job(of_job text, of_token text) RETURNS void LANGUAGE sql SECURITY DEFINER SET search_path = shop, pg_temp AS
$$ DELETE FROM shop.lease WHERE workshop = shop.my_workshop() AND job = of_job AND bay = shop.my_bay() AND token = of_token $$;

REVOKE ALL ON FUNCTION shop.give_job(text, text) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.give_job(text, text) TO shop_bay, shop_office;
