"""How much water does the pond hold, and how sure are we? From soundings to a table of volume by depth."""
