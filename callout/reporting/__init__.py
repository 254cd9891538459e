"""Reports of debriefs and trends: pages, charts, tables, and the statistics behind them."""
