"""From load over time to allowance and index; what this person's skin was seen to take."""
