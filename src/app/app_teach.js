{
  app.screen({ name: "teach", title: "Teach" });
}
