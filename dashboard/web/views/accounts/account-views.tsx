import { AccountLogView } from './account-log-view.tsx';
import type { AccountRoute } from './account-route.ts';
import { AccountView } from './account-view.tsx';
import { PeopleView } from './people-view.tsx';
import { SetUpView } from './set-up-view.tsx';
import { SignInView } from './sign-in-view.tsx';

/** The screens of accounts, by their route. */
export function AccountViews({ route }: { readonly route: AccountRoute }) {
  switch (route.view) {
    case 'signIn':
      return <SignInView />;
    case 'setUp':
      return <SetUpView />;
    case 'account':
      return <AccountView />;
    case 'people':
      return <PeopleView />;
    case 'accountLog':
      return <AccountLogView />;
  }
}
