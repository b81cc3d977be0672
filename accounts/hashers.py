from django.contrib.auth.hashers import Argon2PasswordHasher


class SchoolArgon2PasswordHasher(Argon2PasswordHasher):
    """Argon2id with 19 MiB, two passes, one lane: thirty sign-ins at once fit a small machine.

    Source: OWASP Password Storage Cheat Sheet, minimum configuration for Argon2id.
    """

    time_cost = 2
    memory_cost = 19456  # KiB
    parallelism = 1
