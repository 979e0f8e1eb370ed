"""Wounds onto several target groups: walked wound by wound where they are few, else group after group."""
