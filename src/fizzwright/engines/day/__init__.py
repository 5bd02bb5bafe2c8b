"""One day of a tank as a mass balance of carbon, oxygen and alkalinity."""
