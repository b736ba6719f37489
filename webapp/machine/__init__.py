"""What the machine under the app gives: settings, folders, secrets, network, local time zone."""
