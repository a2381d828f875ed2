export function withoutSecret(url: string): string {
  return url.replace(/\/\/[^@/]*@/g, '//');
}
