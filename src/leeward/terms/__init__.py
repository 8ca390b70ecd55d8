"""The words every room shares: frozen records, units, limits, sourced constants, errors."""
