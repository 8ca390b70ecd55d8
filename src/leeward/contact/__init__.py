"""From a body, a bed and a posture to the load at each site: stable, slides or tips."""
