"""Records in one canonical form, and the chain that shows when one was changed."""
