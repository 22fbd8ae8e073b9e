"""One function a question; its answer is a frozen dataclass whose fields are the JSON's."""
