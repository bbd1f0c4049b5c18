"""Telegram as a channel. `channel.TelegramChannel` is the door; import it when it is needed,
for the library behind it takes its time."""
