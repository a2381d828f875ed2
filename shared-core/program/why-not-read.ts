const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EISDIR: 'it is a folder',
  ENOTDIR: 'it is no folder',
  EACCES: 'this user may not read it',
  EPERM: 'this user may not read it',
};

/** Why a file or folder could not be read, in words; a code of the system that has none stands as it is. */
export function whyNotRead(error: { readonly code?: unknown; readonly message: string }): string {
  const code = String(error.code ?? '');
  return WORDS[code] ?? (code === '' ? error.message : code);
}
