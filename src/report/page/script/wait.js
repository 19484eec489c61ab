// The first good file brings the whole page.
follow(() => location.reload());
