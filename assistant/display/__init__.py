"""The display: one big-type page that follows a job, pages for the desk, and the thin server behind them."""
