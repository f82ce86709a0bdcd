package words

var englishPages, englishForms, englishTraits, englishKinds, englishReasons map[string]string
