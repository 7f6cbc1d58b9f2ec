"""What README and manual show is what comes out.

The convention, which every fenced block of README.md and checker/twohand/manual/*.md keeps:

- A block that begins with ```` ```st NAME ```` (`spec`, `toml`, `scenario`, `csv`)
  is the file NAME.
- ```` ```diff NAME ```` changes a file that the page has shown: each line behind ``-`` occurs once
  in it and gives way to the lines behind ``+`` that follow.
- ```` ```console ```` has a command behind ``$`` and below it what it prints, with the files of the
  page as they are at this place. A line ``...`` is one line or more that are left out; times that
  were needed and versions may be others. Behind ``console`` may follow ``exit N`` (else the exit
  code is 0), ``in FOLDER`` (a folder of the checkout; its files are copied beside those of the
  page) and ``long`` (the suite of long tests runs it).
- ```` ```python ```` is a program, run with the files of the page as they are at this place. Behind
  ``python`` may follow its NAME; then its functions ``test_...`` are called.
"""
