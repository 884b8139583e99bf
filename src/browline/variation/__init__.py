"""Where does the spread come from?"""
