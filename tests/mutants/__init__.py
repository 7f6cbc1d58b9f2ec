"""Small changes of the code that decides, and the tests that must notice each of them."""
