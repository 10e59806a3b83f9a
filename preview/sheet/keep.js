(() => {
  // Ticks and readings are kept in this browser, by the words beside them: they
  // outlive a sheet made anew. Nothing leaves the machine.
  const store = (() => { try { return window.localStorage; } catch { return null; } })();
  if (!store) return;
  const title = 'sheet of ' + document.querySelector('h1').textContent + ': ';
  const seen = {};
  const keyOf = (e) => {
    const section = e.closest('section');
    const words = (section ? section.id : '') + ' ' + e.getAttribute('aria-label').replace(/^[0-9]+[.] /, '');
    seen[words] = (seen[words] || 0) + 1;
    return title + words + ' ' + seen[words];
  };
  const boxes = [...document.querySelectorAll('input')].map((e) => [e, keyOf(e)]);
  for (const [e, key] of boxes) {
    const kept = store.getItem(key);
    if (kept !== null) {
      if (e.type === 'checkbox') e.checked = kept === '1'; else e.value = kept;
    }
    e.addEventListener('input', () => {
      const value = e.type === 'checkbox' ? (e.checked ? '1' : '') : e.value;
      try { if (value === '') store.removeItem(key); else store.setItem(key, value); } catch { /* full: the page still works */ }
    });
  }
  const clear = document.createElement('button');
  clear.className = 'screen';
  clear.textContent = 'Clear all ticks and readings';
  clear.addEventListener('click', () => {
    if (!window.confirm('Clear all that was ticked and written on this sheet?')) return;
    for (const [e, key] of boxes) {
      store.removeItem(key);
      if (e.type === 'checkbox') e.checked = false; else e.value = '';
    }
  });
  document.querySelector('main').append(clear);
})();
