// The page's address: everything after '#/', so that the server serves one file for all screens.

function read(): { path: string[]; query: URLSearchParams } {
  const [path = '', query = ''] = location.hash.replace(/^#\/?/, '').split('?');
  return {
    path: path.split('/').map(decodeURIComponent).filter(Boolean),
    query: new URLSearchParams(query),
  };
}

export const route = $state(read());

/** Follows the address and puts the reading place at the top of each new screen. */
export function watchRoute(): void {
  window.addEventListener('hashchange', () => {
    Object.assign(route, read());
    window.scrollTo(0, 0);
    document.getElementById('main')?.focus({ preventScroll: true });
  });
}

export function goTo(hash: string, replace = false): void {
  if (replace) {
    history.replaceState(null, '', hash);
    Object.assign(route, read());
  } else location.hash = hash;
}
