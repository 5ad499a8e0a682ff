"""The Shell page: how a shell has grown, whether it is dry, and its log with corrections."""
