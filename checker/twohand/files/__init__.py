"""Files on disk: encodings, folders as libraries, XML documents."""
