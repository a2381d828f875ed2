/** The screens of accounts: #/sign-in, #/set-up, #/account, #/people, #/people/log. */
export type AccountRoute = {
  readonly view: 'signIn' | 'setUp' | 'account' | 'people' | 'accountLog';
};

const URLS: Readonly<Record<AccountRoute['view'], string>> = {
  signIn: '#/sign-in',
  setUp: '#/set-up',
  account: '#/account',
  people: '#/people',
  accountLog: '#/people/log',
};

export function parseAccountRoute(parts: readonly string[]): AccountRoute | null {
  const path = `#/${parts.join('/')}`;
  const found = Object.entries(URLS).find(([, url]) => url === path);
  return found === undefined ? null : { view: found[0] as AccountRoute['view'] };
}

export const isAccountRoute = (route: { readonly view: string }): route is AccountRoute =>
  Object.hasOwn(URLS, route.view);

export const accountUrl = ({ view }: AccountRoute): string => URLS[view];
