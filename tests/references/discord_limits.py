"""Limits of the chat service, each from its public developer documentation.

All are from github:discord/discord-api-docs, commit c98d64bc233833839cf0d8d369e81b77f21ade60 (6 Aug 2026); the page
stands beside each.
"""

from __future__ import annotations

CONTENT = 2000  # Message, "Create Message: JSON/Form Params"
NONCE = 25  # Message, "Create Message: JSON/Form Params"
EMBEDS = 10  # Message, "Create Message: JSON/Form Params"
EPHEMERAL = 1 << 6  # Message, "Message Object: Message Flags"
HISTORY = 100  # Message, "Get Channel Messages: Query String Params" (from memory)
ACTION_ROWS = 5  # Component Reference, "Legacy Message Component Behavior"
BUTTONS = 5  # Component Reference, "Action Row Child Components"
BUTTON_LABEL = 80  # Component Reference, "Button Structure"
CUSTOM_ID = 100  # Component Reference, "Button Structure"
SELECT_OPTIONS = 25  # Component Reference, "String Select Structure"
SELECT_TEXT = 100  # Component Reference, "Select Option Structure" (from memory)
TEXT_INPUT = 4000  # Component Reference, "Text Input Structure"
INPUT_LABEL = 45  # Component Reference, "Text Input Structure" and "Label Structure" (from memory)
INPUT_PLACEHOLDER = 100  # Component Reference, "Text Input Structure" (from memory)
MODAL_TITLE = 45  # Receiving and Responding, "Interaction Response Object: Modal"
SUGGESTIONS = 25  # Receiving and Responding, "Interaction Response Object: Autocomplete"
FIRST_ANSWER_SECONDS = 3  # Receiving and Responding, "Interaction Callback"
TOKEN_MINUTES = 15  # Receiving and Responding, "Interaction Callback; Followup Messages"
COMMAND_NAME = (
    r"[-_'\w]{1,32}"  # Application Commands, "Application Command Naming" (the two named scripts left out)
)
DESCRIPTION = 100  # Application Commands, "Application Command Structure"
OPTIONS = 25  # Application Commands, "Application Command Structure"
CHOICES = 25  # Application Commands, "Application Command Option Structure"
CHOICE_TEXT = 100  # Application Commands, "Application Command Option Choice Structure"
STRING_OPTION = 6000  # Application Commands, "Application Command Option Structure"
COMMANDS = 100  # Application Commands, "Registering a Command"
COMMAND_SIZE = 8000  # Application Commands, "Slash Commands"
GATEWAY_BYTES = 4096  # Gateway, "Sending Events"
GATEWAY_EVENTS_A_MINUTE = 120  # Gateway, "Rate Limiting"
FILE_MIB = 10  # API Reference, "Uploading Files"
ALTERNATIVE_TEXT = 1024  # Message, "Attachment Structure" (from memory)
