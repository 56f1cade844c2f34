"""How long is what is seen in a photo, by a card of known size that lies beside it?"""
