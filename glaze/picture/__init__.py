"""From reflectance to a picture: light, encoding, and files written whole."""
