"""What is cut, crimped, labelled and bought, worked out from one assessment."""
