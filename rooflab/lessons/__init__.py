"""Lessons: questions, the mistakes behind wrong answers, and the glossary."""
