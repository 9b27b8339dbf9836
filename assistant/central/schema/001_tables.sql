-- The central store of a chain of workshops: what the journals of all bays hold, and who may see what.
-- Everything belongs to shop_owner, who cannot log in; bays and offices reach it by functions and by views of their own rows.

CREATE TABLE shop.workshop (
    name     text PRIMARY KEY CHECK (name ~ '^[a-z0-9]+(-[a-z0-9]+)*$' AND length(name) <= 20),
    added_at timestamptz NOT NULL DEFAULT clock_timestamp()
);

-- Who may log in: a bay or the office of one workshop. A login that is not listed here may do nothing.
CREATE TABLE shop.member (
    login    text PRIMARY KEY,
    workshop text NOT NULL REFERENCES shop.workshop,
    role     text NOT NULL CHECK (role IN ('bay', 'office')),
    bay      text NOT NULL CHECK (bay ~ '^[a-z0-9]+(-[a-z0-9]+)*$' AND length(bay) <= 20),
    added_at timestamptz NOT NULL DEFAULT clock_timestamp(),
    UNIQUE (workshop, bay)
);

-- Which kinds of entries this version of the store knows, and up to which version of their fields.
CREATE TABLE shop.known_kind (
    kind    text PRIMARY KEY,
    version integer NOT NULL CHECK (version >= 1),
    turns   boolean NOT NULL  -- whether it changes how a job stands: open, paused, closed
);

-- One row for each job: where it was opened, what a list of jobs tells of it, and the end of its chain once more.
-- `month` is that of its first entry (UTC): all its entries lie in one partition, and a year can be put away as a whole.
CREATE TABLE shop.job (
    workshop     text NOT NULL REFERENCES shop.workshop,
    name         text NOT NULL CHECK (name <> '' AND length(name) <= 60),
    number       bigint GENERATED ALWAYS AS IDENTITY,
    bay          text NOT NULL,
    month        date NOT NULL CHECK (extract(day FROM month) = 1),
    opened_ms    bigint NOT NULL,
    last_ms      bigint NOT NULL,
    title        text NOT NULL,
    procedure_id text NOT NULL,
    rehearsal    boolean NOT NULL,
    turn         text NOT NULL,   -- the last kind of entry that changed the state of the job
    seq          integer NOT NULL CHECK (seq >= 0),
    hash         bytea NOT NULL CHECK (length(hash) = 32),
    changed_at   timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, name)
);
CREATE INDEX job_newest ON shop.job (workshop, opened_ms DESC, number DESC);
CREATE INDEX job_changed ON shop.job (workshop, changed_at);

CREATE TABLE shop.entry (
    workshop    text NOT NULL,
    month       date NOT NULL,
    job         text NOT NULL,
    seq         integer NOT NULL CHECK (seq >= 1),
    at_ms       bigint NOT NULL CHECK (at_ms >= 0),
    kind        text NOT NULL CHECK (kind <> ''),
    version     integer NOT NULL CHECK (version >= 1),
    cause       integer NOT NULL CHECK (cause >= 0 AND cause < seq),
    data        text NOT NULL,
    prev        bytea NOT NULL CHECK (length(prev) = 32),
    hash        bytea NOT NULL CHECK (length(hash) = 32),
    sent_by     text NOT NULL,
    received_at timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (workshop, month, job, seq)
) PARTITION BY LIST (workshop);
CREATE INDEX entry_kind ON shop.entry (workshop, kind, job, seq);

-- What people said and who they are, beside the chain: the only rows that can be removed, by forgetting their job.
CREATE TABLE shop.personal (
    workshop text NOT NULL,
    month    date NOT NULL,
    job      text NOT NULL,
    seq      integer NOT NULL CHECK (seq >= 1),
    key      text NOT NULL CHECK (key <> ''),
    salt     text NOT NULL CHECK (length(salt) = 32),
    value    text NOT NULL,
    PRIMARY KEY (workshop, month, job, seq, key)
) PARTITION BY LIST (workshop);

-- What was refused, as it came, and why; a person looks at it.
CREATE TABLE shop.aside (
    id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    workshop text NOT NULL,
    sent_by  text NOT NULL,
    at       timestamptz NOT NULL DEFAULT clock_timestamp(),
    job      text NOT NULL,
    seq      integer NOT NULL,
    hash     text NOT NULL,
    why      text NOT NULL CHECK (why <> ''),
    entry    jsonb,
    raw      bytea,
    UNIQUE (workshop, sent_by, job, seq, hash, why)
);

-- Who works on a job, and until when [ms since 1970-01-01 UTC].
CREATE TABLE shop.lease (
    workshop text NOT NULL,
    job      text NOT NULL,
    token    text NOT NULL CHECK (token <> ''),
    bay      text NOT NULL,
    host     text NOT NULL,
    pid      integer NOT NULL,
    until_ms bigint NOT NULL,
    PRIMARY KEY (workshop, job),
    FOREIGN KEY (workshop, job) REFERENCES shop.job (workshop, name)
);
