"""The routes of the JSON API, by what they are about."""
