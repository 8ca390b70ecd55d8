"""What crosses the border: case files, plan files, maps, pictures and sheets."""
