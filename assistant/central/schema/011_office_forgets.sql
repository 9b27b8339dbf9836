-- As before, but who has no bay has no files of photos: what the office forgets is gone from the office at once.
CREATE OR REPLACE FUNCTION shop.copies_are_to_go() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER
SET search_path = shop, pg_temp AS $$
DECLARE
    has_files boolean := EXISTS (SELECT 1 FROM shop.entry e
        WHERE e.workshop = NEW.workshop AND e.month = NEW.month AND e.job = NEW.job AND e.kind = 'photo_taken')
        AND EXISTS (SELECT 1 FROM shop.member m WHERE m.workshop = NEW.workshop AND m.bay = NEW.sent_by AND m.role = 'bay');
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
           gone_at = CASE WHEN bay = NEW.sent_by AND NOT has_files THEN NEW.received_at ELSE gone_at END
     WHERE workshop = NEW.workshop AND job = NEW.job AND forget_since IS NULL;
    RETURN NULL;
END $$;
