"""Sample conversations: backups."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="files",
        title="Keep it safe",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn("back up", ("Making a backup of",)),
            Turn("when was the last backup", ("No backup", "every night at 03:00")),
            Turn("how do I restore a backup", ("all of the shop", "restore FILE")),
        ),
        help_with=(1, 2, 3),
    ),
)
