{
  app.screen({ name: "save", title: "Save and open" });
}
