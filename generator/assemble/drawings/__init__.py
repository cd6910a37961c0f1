"""What each drawing shows, chosen from the results and the data of a site or a model: a function a drawing."""
