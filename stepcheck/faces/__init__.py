"""Where stepcheck meets people and their tools: the command, the editor, the plugin for pytest."""
