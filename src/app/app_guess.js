{
  app.screen({ name: "guess", title: "Guess" });
}
