"""From raw logs to postures really kept, with gaps and findings."""
