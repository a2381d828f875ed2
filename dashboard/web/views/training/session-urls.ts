const session = (id: string): string => `/api/v1/training/sessions/${encodeURIComponent(id)}`;

/** Everything of a session as one file; the browser asks for it itself, so without the trainer's key. */
export const exportUrl = (id: string): string => `${session(id)}/export.json`;
/** In the language, units and decimal sign of this device. */
export const pdfUrl = (id: string, manner: Readonly<Record<string, string>>): string =>
  `${session(id)}/debrief.pdf?${new URLSearchParams(manner)}`;
