"""House: roof and ceiling as planes, the two bays that hang from them, and every dimension read off them."""
