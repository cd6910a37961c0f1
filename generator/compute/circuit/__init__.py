"""What every code basis shares: the connection, the load, the voltage divider, and findings about the supply."""
