"""Pictures as SVG text: the day ribbon, the section, the body map, the allowance bars."""
