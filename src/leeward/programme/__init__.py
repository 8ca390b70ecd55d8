"""What a programme is, what equipment can be set to, how one is found and rechecked."""
