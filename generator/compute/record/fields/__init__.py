"""The fields of a record: what the tests of a circuit, and its volts under load, are expected to hold."""
