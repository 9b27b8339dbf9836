"""``assistant quote``, ``order-list`` and ``invoice``: how what a job costs is printed."""
