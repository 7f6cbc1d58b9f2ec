"""How a check is asked for: below the list of the commands, and below the help of ``check``."""

EXAMPLES = """\b
Examples:
  twohand check press.spec
  twohand check press.spec stations --effort 300
  twohand check press.spec --details --ascii > press.txt
  twohand check --format concise specs
  twohand gallery
"""
