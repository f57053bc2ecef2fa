"""`python -m plateline`, the same as `plateline`."""

from plateline.cli import main

main()
