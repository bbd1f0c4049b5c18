"""Twelvefold: a planning assistant for subscription box shops that lives in a chat.

The rooms, from the street inwards: cli, wiring, edges, flow, conversation, sheets,
planning, scheduling. Imports point that way only.
"""
